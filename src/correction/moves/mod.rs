//! What moves from one edition to the next: two editions come in, for each size every
//! number before and after, the written lines that change, yarn and fit go out.

mod text;

pub use text::{notes, text};

use super::edition::{Edition, Fit, Number, Size, Yarn};
use super::errata::{Edit, Errata, Reading, SizeChange, compare};
use serde::Serialize;

/// What moves.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moves {
    /// The design's title.
    pub title: String,
    /// Edition numbers.
    pub number: Reading<String>,
    /// What moves in each size that either edition has, in the new one's order.
    pub sizes: Vec<SizeMoves>,
    /// The written lines that change.
    pub errata: Errata,
}

/// What moves in one size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeMoves {
    /// The id used in the file.
    pub id: String,
    /// The name printed.
    pub name: String,
    /// Every graded number, those that stay too.
    pub numbers: Vec<NumberMove>,
    /// How many printed lines change, come or go.
    pub lines: usize,
    /// Whether a template's picture is among them.
    pub template: bool,
    /// Girth, depth and fit, where both editions were worked.
    pub fit: Option<FitMove>,
    /// Each yarn.
    pub yarn: Vec<YarnMove>,
}

/// One graded number before and after; none where an edition does not have it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NumberMove {
    /// The name formulas use.
    pub name: String,
    /// Before.
    pub old: Option<String>,
    /// After.
    pub new: Option<String>,
}

impl NumberMove {
    /// Whether it moved.
    pub fn moved(&self) -> bool {
        self.old != self.new
    }
}

/// Fit before and after. Millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FitMove {
    /// What the old edition said.
    pub old: Fit,
    /// What the new edition says.
    pub new: Fit,
    /// What a hat made to the old edition's counts measures round, by the new gauge.
    pub old_as_made: Option<f64>,
    /// Whether that hat sits well on the head of its size; none where the correction moves
    /// nothing of its fit: then there is nothing to ask.
    pub old_still_fits: Option<bool>,
}

/// One yarn before and after, in grams.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YarnMove {
    /// The yarn's name in the design.
    pub name: String,
    /// Before, no margin added.
    pub old: f64,
    /// After.
    pub new: f64,
    /// Whether the promise of balls was kept before; none where there was none.
    pub kept_before: Option<bool>,
    /// Whether it is kept after.
    pub kept_after: Option<bool>,
}

/// Compares two editions. `as_made` are the girths of hats made to the old edition's
/// counts by the new gauge, by size id (see [`super::edition::as_made`]).
pub fn moves(old: &Edition, new: &Edition, as_made: &[(String, f64)]) -> Moves {
    let errata = compare(old, new);
    let nothing = Size::default();
    let mut sizes: Vec<SizeMoves> = new
        .sizes
        .iter()
        .map(|size| one(old.size(&size.id).unwrap_or(&nothing), size, &errata, as_made))
        .collect();
    let gone = old.sizes.iter().filter(|s| new.size(&s.id).is_none());
    sizes.extend(gone.map(|size| {
        let none = Size { id: size.id.clone(), name: size.name.clone(), ..Size::default() };
        one(size, &none, &errata, as_made)
    }));
    let number = errata.number.clone();
    Moves { title: new.title.clone(), number, sizes, errata }
}

fn one(old: &Size, new: &Size, errata: &Errata, as_made: &[(String, f64)]) -> SizeMoves {
    let change = errata.sizes.iter().find_map(|e| match e {
        Edit::Changed { change, .. } if change.id == new.id => Some(change),
        _ => None,
    });
    SizeMoves {
        id: new.id.clone(),
        name: new.name.clone(),
        numbers: numbers(&old.numbers, &new.numbers),
        lines: change.map_or_else(|| whole(old, new), lines),
        template: change.is_some_and(template),
        fit: fit(old, new, as_made),
        yarn: yarn(&old.yarn, &new.yarn),
    }
}

fn numbers(old: &[Number], new: &[Number]) -> Vec<NumberMove> {
    let find =
        |list: &[Number], name: &str| list.iter().find(|n| n.name == name).map(|n| n.shown.clone());
    let mut names: Vec<&str> = new.iter().map(|n| n.name.as_str()).collect();
    names.extend(old.iter().map(|n| n.name.as_str()).filter(|o| find(new, o).is_none()));
    names
        .into_iter()
        .map(|name| NumberMove {
            name: name.to_owned(),
            old: find(old, name),
            new: find(new, name),
        })
        .collect()
}

/// Lines of a size that only one edition has.
fn whole(old: &Size, new: &Size) -> usize {
    let lines = |s: &Size| s.sections.iter().map(|x| x.lines.len()).sum::<usize>();
    if old.sections == new.sections { 0 } else { lines(old) + lines(new) }
}

fn lines(change: &SizeChange) -> usize {
    let section = |e: &Edit<_, super::errata::SectionChange>| match e {
        Edit::Changed { change, .. } => change.lines.len(),
        Edit::Dropped { old, .. } => count(old),
        Edit::Added { new, .. } => count(new),
    };
    change.sections.iter().map(section).sum()
}

fn count(section: &super::edition::Section) -> usize {
    section.lines.len()
}

/// A template's words name every measure that it is drawn by.
fn template(change: &SizeChange) -> bool {
    let is = |line: &super::edition::Line| line.words.contains("emplate");
    change.sections.iter().any(|e| match e {
        Edit::Changed { change, .. } => change.lines.iter().any(|l| match l {
            Edit::Changed { change: r, .. } => is(&r.old) || is(&r.new),
            Edit::Dropped { old, .. } => is(old),
            Edit::Added { new, .. } => is(new),
        }),
        Edit::Dropped { old: s, .. } | Edit::Added { new: s, .. } => s.lines.iter().any(is),
    })
}

/// Girths nearer than this are the same, in mm.
const SAME: f64 = 0.05;

fn fit(old: &Size, new: &Size, as_made: &[(String, f64)]) -> Option<FitMove> {
    let (was, is) = (old.fit?, new.fit?);
    let old_as_made = as_made.iter().find(|(id, _)| *id == new.id).map(|(_, girth)| *girth);
    // Of a hat that the new edition makes just so, the correction says nothing new.
    let moved = |girth: f64| was != is || (girth - is.girth).abs() > SAME;
    let old_still_fits = old_as_made.filter(|g| moved(*g)).map(|girth| is.sits(girth));
    Some(FitMove { old: was, new: is, old_as_made, old_still_fits })
}

fn yarn(old: &[Yarn], new: &[Yarn]) -> Vec<YarnMove> {
    let kept = |y: Option<&Yarn>| y.and_then(|y| y.promised.map(|p| y.needed <= p));
    let find = |list: &'_ [Yarn], name: &str| list.iter().find(|y| y.name == name).cloned();
    let mut names: Vec<&str> = new.iter().map(|y| y.name.as_str()).collect();
    names.extend(old.iter().map(|y| y.name.as_str()).filter(|n| find(new, n).is_none()));
    names
        .into_iter()
        .map(|name| {
            let (was, is) = (find(old, name), find(new, name));
            YarnMove {
                name: name.to_owned(),
                old: was.as_ref().map_or(0.0, |y| y.grams),
                new: is.as_ref().map_or(0.0, |y| y.grams),
                kept_before: kept(was.as_ref()),
                kept_after: kept(is.as_ref()),
            }
        })
        .collect()
}

impl Moves {
    /// Whether nothing moves that a buyer would notice.
    pub fn is_empty(&self) -> bool {
        self.errata.is_empty()
            && self.sizes.iter().all(|s| !s.numbers.iter().any(NumberMove::moved))
    }
}
