//! The pompom template at true scale: fur circle, yarn ring, check squares.
//!
//! How large to cut follows published craft practice; the figures and their sources are
//! in the table of worked measures ([`crate::standards::worked`]).

use super::check;
use super::pack::{self, Cover, Piece};
use super::pen::{
    CUT, both_units, circle, dashed, line, line_of, rough_width, trimmed, words, wrapped,
};
use super::{Anchor, Drawing, Ink};
use crate::standards::worked;

/// All that one design's template shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PompomPlan {
    /// Fur circles, each for the sizes that use it.
    pub fur: Vec<FurCut>,
    /// Yarn rings, each for the sizes that use it.
    pub rings: Vec<YarnRing>,
}

/// A circle to cut from fur fabric.
#[derive(Clone, Debug, PartialEq)]
pub struct FurCut {
    /// Names of the sizes that use it; empty for all.
    pub sizes: Vec<String>,
    /// Diameter to cut, in millimetres.
    pub cut: f64,
    /// Length of the pile in millimetres.
    pub pile: f64,
}

/// A ring to cut twice from card.
#[derive(Clone, Debug, PartialEq)]
pub struct YarnRing {
    /// Names of the sizes that use it; empty for all.
    pub sizes: Vec<String>,
    /// Diameter of the ring in millimetres.
    pub outer: f64,
    /// Diameter of the hole in millimetres.
    pub hole: f64,
}

impl FurCut {
    /// The circle for a finished pompom of this diameter in fur of this pile, both in
    /// millimetres. None if the pile alone is as large as the pompom.
    pub fn for_pompom(finished: f64, pile: f64) -> Option<FurCut> {
        let cut = (finished - 2.0 * pile) / worked::pompom().fur.value;
        (cut > 4.0 * gather_inset()).then_some(FurCut { sizes: Vec::new(), cut, pile })
    }

    /// Diameter of the finished pompom in millimetres.
    pub fn finished(&self) -> f64 {
        self.cut * worked::pompom().fur.value + 2.0 * self.pile
    }
}

impl YarnRing {
    /// The ring for a trimmed pompom of this diameter in millimetres.
    pub fn for_pompom(finished: f64) -> YarnRing {
        let rule = worked::pompom();
        let outer = finished + rule.trim.value;
        YarnRing { sizes: Vec::new(), outer, hole: outer * rule.hole.value }
    }

    /// Diameter of the trimmed pompom in millimetres.
    pub fn finished(&self) -> f64 {
        self.outer - worked::pompom().trim.value
    }
}

/// How far inside the cut edge the gathering line runs, in millimetres.
pub fn gather_inset() -> f64 {
    worked::pompom().gather.value
}

/// The whole template as one drawing, at most as wide as its largest circle or 170 mm.
pub fn template(plan: &PompomPlan) -> Drawing {
    let mut sheets = sheets(plan, Words::Whole, 170.0, &[f64::INFINITY]);
    if sheets.is_empty() { Drawing::default() } else { sheets.swap_remove(0) }
}

/// The template packed on sheets that each fit `width` by one of `heights` (millimetres;
/// the last one holds for all sheets after it) where a single circle does. Every sheet has
/// both check squares, and nothing on it overlaps. Empty for an empty plan.
pub fn sheets(plan: &PompomPlan, words: Words, width: f64, heights: &[f64]) -> Vec<Drawing> {
    let told = told(plan).into_iter();
    let mut told =
        told.map(|(number, said)| if words == Words::Numbers { vec![number] } else { said });
    let mut next = || told.next().unwrap_or_default();
    let mut rest: Vec<Piece> = plan.fur.iter().map(|f| fur_piece(f, words, &next())).collect();
    rest.extend(plan.rings.iter().map(|r| ring_piece(r, words, &next())));
    let squares = [Piece::boxed(check::metric()), Piece::boxed(check::inch())];
    let mut out = Vec::new();
    while !rest.is_empty() {
        let height = heights.get(out.len()).or(heights.last()).copied().unwrap_or(f64::INFINITY);
        let (sheet, left) = fill_sheet(rest, &squares, width, height);
        out.push(sheet);
        rest = left;
    }
    out
}

/// What the template shows, for who cannot see it.
pub fn alt(plan: &PompomPlan) -> String {
    let mut said = vec!["Pompom template at true size.".to_owned()];
    for f in &plan.fur {
        said.push(format!(
            "Fur circle{}: {} across, with a broken line {} inside the edge to gather along; \
             makes a pompom of about {}.",
            for_sizes(&f.sizes),
            both_units(f.cut),
            both_units(gather_inset()),
            both_units(f.finished())
        ));
    }
    for r in &plan.rings {
        said.push(format!(
            "Yarn ring{}: {} across with a hole of {} and a line to slit from edge to hole; \
             makes a pompom of about {}.",
            for_sizes(&r.sizes),
            both_units(r.outer),
            both_units(r.hole),
            both_units(r.finished())
        ));
    }
    said.push(check::ALT.to_owned());
    said.join(" ")
}

/// What stands on the pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// What each is, for which sizes, and how large.
    Whole,
    /// A large number, for a page that says the rest in large type.
    Numbers,
}

/// Size of the words on a piece, in points.
const SMALL: f64 = 8.0;
/// Size of a number in the place of words.
const LARGE: f64 = 20.0;

/// Each piece's number and what there is to say of it, fur before yarn.
pub fn told(plan: &PompomPlan) -> Vec<(String, Vec<String>)> {
    let fur = plan.fur.iter().map(|f| {
        let mut said = vec![
            format!("Fur: cut one, {} across", both_units(f.cut)),
            format!("pile {}\u{a0}mm, pompom about {}", trimmed(f.pile), both_units(f.finished())),
            "gather along the broken line".to_owned(),
        ];
        if !f.sizes.is_empty() {
            said.insert(1, f.sizes.join(", "));
        }
        said
    });
    let rings = plan.rings.iter().map(|r| {
        let mut said = vec![
            format!("Yarn ring: cut two, of stiff card, {} across", both_units(r.outer)),
            format!("hole {}, pompom about {}", both_units(r.hole), both_units(r.finished())),
            "cut the slit and the hole".to_owned(),
        ];
        if !r.sizes.is_empty() {
            said.insert(1, r.sizes.join(", "));
        }
        said
    });
    fur.chain(rings).enumerate().map(|(i, said)| ((i + 1).to_string(), said)).collect()
}

fn for_sizes(sizes: &[String]) -> String {
    if sizes.is_empty() { String::new() } else { format!(" for {}", sizes.join(", ")) }
}

const LINE: f64 = 4.2;

/// As many pieces as fit on one sheet beside the squares, at least the first; and the rest.
fn fill_sheet(
    pieces: Vec<Piece>,
    squares: &[Piece],
    width: f64,
    height: f64,
) -> (Drawing, Vec<Piece>) {
    let mut on: Vec<Piece> = Vec::new();
    let mut left = Vec::new();
    let mut sheet = None;
    for piece in pieces {
        let mut tried: Vec<&Piece> = on.iter().chain([&piece]).chain(squares).collect();
        // In the order of the sizes if that fits; else the largest first, for the small ones
        // find room in its corners.
        let packed = pack::sheet(&tried, width, height).or_else(|| {
            tried.sort_by(|a, b| b.drawing.width.total_cmp(&a.drawing.width));
            pack::sheet(&tried, width, height)
        });
        let packed = packed.or_else(|| {
            let widest = tried.iter().map(|p| p.drawing.width).fold(width, f64::max);
            on.is_empty().then(|| pack::sheet(&tried, widest, f64::INFINITY)).flatten()
        });
        match packed {
            Some(packed) => {
                sheet = Some(packed);
                on.push(piece);
            }
            None => left.push(piece),
        }
    }
    (sheet.unwrap_or_default(), left)
}

fn fur_piece(f: &FurCut, set: Words, said: &[String]) -> Piece {
    let c = (f.cut + CUT) / 2.0;
    let mut d = Drawing { width: f.cut + CUT, height: f.cut + CUT, marks: Vec::new() };
    d.add(circle(c, c, f.cut / 2.0, line_of(CUT, Ink::Text)));
    let gather = f.cut / 2.0 - gather_inset();
    if gather > 0.0 {
        d.add(circle(c, c, gather, dashed(0.35, 2.4, 1.6, Ink::Text)));
    }
    match set {
        Words::Whole => inside(&mut d, c, c, 2.0 * gather - 4.0, said),
        Words::Numbers => numbered(&mut d, (c, c + 2.4), said),
    }
    Piece { drawing: d, covers: vec![Cover::Disc(c, c, c)] }
}

fn numbered(d: &mut Drawing, at: (f64, f64), said: &[String]) {
    for number in said {
        d.say(words(at, number.as_str(), LARGE, Anchor::Middle).strong());
    }
}

fn ring_piece(r: &YarnRing, set: Words, said: &[String]) -> Piece {
    let under: &[String] = if set == Words::Whole { said } else { &[] };
    let room = under.iter().map(|s| rough_width(s, SMALL)).fold(0.0, f64::max);
    let side = r.outer + CUT;
    let lines = f64::from(u8::try_from(under.len()).unwrap_or(4));
    let foot = if under.is_empty() { 0.0 } else { LINE * lines + 1.5 };
    let mut d = Drawing { width: side.max(room), height: side + foot, marks: Vec::new() };
    let (cx, cy) = (d.width / 2.0, side / 2.0);
    d.add(circle(cx, cy, r.outer / 2.0, line_of(CUT, Ink::Text)));
    d.add(circle(cx, cy, r.hole / 2.0, line_of(CUT, Ink::Text)));
    let (a, b) = (cx + r.hole / 2.0, cx + r.outer / 2.0);
    d.add(line((a, cy), (b, cy), dashed(CUT, 1.6, 1.0, Ink::Text)));
    let size = if set == Words::Whole { SMALL } else { LARGE };
    d.say(words(((a + b) / 2.0, cy - 1.5), "slit", size, Anchor::Middle));
    d.say(words((cx, cy + size / SMALL), "hole", size, Anchor::Middle));
    for (i, s) in (0_u8..).zip(under) {
        let y = side + LINE * (f64::from(i) + 1.0);
        d.say(words((cx, y), s.as_str(), SMALL, Anchor::Middle));
    }
    if set == Words::Numbers {
        numbered(&mut d, (cx - (r.hole + r.outer) / 4.0, cy + 2.4), said);
    }
    let mut covers = vec![Cover::Disc(cx, cy, side / 2.0)];
    if !under.is_empty() {
        covers.push(Cover::Box(cx - room / 2.0, side, room, d.height - side));
    }
    Piece { drawing: d, covers }
}

/// Words in the middle of a circle, wrapped to the room there, in type as large as it holds.
fn inside(d: &mut Drawing, cx: f64, cy: f64, room: f64, said: &[String]) {
    let lines = |size: f64| -> Vec<(bool, String)> {
        let each = said.iter().enumerate();
        each.flat_map(|(i, s)| wrapped(s, size, 0.9 * room).into_iter().map(move |l| (i == 0, l)))
            .collect()
    };
    let high = |size: f64, n: usize| LINE * size / 9.0 * f64::from(u8::try_from(n).unwrap_or(9));
    // Words are not as wide as they are taken for: they fill 0.8 of the circle, and a box so
    // wide is at most 0.6 of it high.
    let fits = |size: &f64| high(*size, lines(*size).len()) <= 0.6 * room;
    let size = [9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.0].into_iter().find(fits).unwrap_or(5.0);
    let lines = lines(size);
    let top = cy - high(size, lines.len()) / 2.0;
    for (i, (strong, line)) in lines.iter().enumerate() {
        let label = words((cx, top + high(size, i + 1) - 0.9), line.as_str(), size, Anchor::Middle);
        d.say(if *strong { label.strong() } else { label });
    }
}
