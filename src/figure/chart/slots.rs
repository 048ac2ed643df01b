//! What a chart shows: courses as lists of slots, alike courses once, one repeat if asked.

use crate::fabric::{Course, CourseShape, Fabric, Ground, Loop, Role, Standing, Stitch};
use crate::standards::stitches::{Base, Kind, Post};
use std::collections::BTreeMap;

/// One symbol's place in a course.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Slot {
    /// The stitch in the fabric.
    pub stitch: u32,
    /// What is drawn.
    pub kind: Kind,
    /// Through which loop, as seen from the right side.
    pub loops: Loop,
    /// The stitches it stands on; empty for a chain.
    pub feet: Vec<u32>,
    /// Stitches worked into one place share a number; 0 for none.
    pub group: u32,
    /// Whether it adds no width: an ornament on the stitch before it.
    pub on_top: bool,
    /// Whether it is the column of chains that begins the course and counts as a stitch.
    pub riser: bool,
}

/// One course as shown.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    /// Its number on the chart, as "3" or "3–12"; empty for a foundation.
    pub label: String,
    /// Foundation, row or round.
    pub shape: CourseShape,
    /// Whether it is worked from left to right as seen from the right side.
    pub wrong_side: bool,
    /// Chains that rise to it at its beginning.
    pub rise: u32,
    /// Whether a slip stitch closes it.
    pub joined: bool,
    /// Whether its first stitches stand in a ring.
    pub in_ring: bool,
    /// Its symbols in working order.
    pub slots: Vec<Slot>,
}

impl Row {
    /// How many slots have a width of their own.
    pub fn width(&self) -> usize {
        self.slots.iter().filter(|s| !s.on_top).count()
    }
}

/// The rows of a fabric from its first course on. Courses alike are shown once with all
/// their numbers: rounds alike the one before, and turned rows alike the two before.
pub(super) fn rows(fabric: &Fabric) -> Vec<Row> {
    let mut made = Made::default();
    let mut wrong_side = false;
    let mut begun = false;
    for (i, course) in fabric.courses.iter().enumerate() {
        wrong_side = match course.shape {
            // A chain is made towards where the first row comes back from.
            CourseShape::Foundation => leads_to_rows(fabric, i),
            _ if !begun => false,
            _ => wrong_side != course.turned,
        };
        begun |= course.shape != CourseShape::Foundation;
        made.add(fabric, course, wrong_side);
    }
    made.labelled()
}

fn leads_to_rows(fabric: &Fabric, foundation: usize) -> bool {
    fabric.courses.get(foundation + 1).is_some_and(|c| c.shape == CourseShape::Row)
}

/// Rows so far, and what was left out.
#[derive(Default)]
struct Made {
    rows: Vec<Row>,
    /// For each row, what it looks like and the numbers it stands for.
    known: Vec<(String, Vec<u32>)>,
    /// Stitches left out, and the shown ones that stand in their place.
    stand_in: BTreeMap<u32, u32>,
}

impl Made {
    fn add(&mut self, fabric: &Fabric, course: &Course, wrong_side: bool) {
        let mut row = row(fabric, course, wrong_side);
        if row.slots.is_empty() {
            return;
        }
        let sign = sign(fabric, course, &row);
        for foot in row.slots.iter_mut().flat_map(|s| &mut s.feet) {
            *foot = self.stand_in.get(foot).copied().unwrap_or(*foot);
        }
        let numbers = course.number.into_iter().collect::<Vec<u32>>();
        match self.alike(&row, &sign) {
            Some(at) if !numbers.is_empty() => {
                self.leave_out(&row);
                self.known.iter_mut().skip(at).take(1).for_each(|(_, n)| n.extend(&numbers));
            }
            _ => {
                self.rows.push(row);
                self.known.push((sign, numbers));
            }
        }
    }

    /// The shown row that this one is like: the last, or of turned rows the last but one.
    fn alike(&self, row: &Row, sign: &str) -> Option<usize> {
        let last = self.rows.len().checked_sub(1)?;
        let same = |at: usize| {
            let seen = self.rows.get(at).zip(self.known.get(at));
            seen.is_some_and(|(r, (s, _))| s == sign && r.shape == row.shape)
        };
        let side = |at: usize| self.rows.get(at).is_some_and(|r| r.wrong_side == row.wrong_side);
        if same(last) && side(last) {
            return Some(last);
        }
        last.checked_sub(1).filter(|before| same(last) && same(*before) && side(*before))
    }

    /// What stands on a row left out stands on the last shown one, place for place.
    fn leave_out(&mut self, row: &Row) {
        let Some(shown) = self.rows.last() else { return };
        let n = shown.slots.len();
        for (i, slot) in row.slots.iter().enumerate() {
            let at = if shown.wrong_side == row.wrong_side { i } else { n.saturating_sub(i + 1) };
            self.stand_in.extend(shown.slots.get(at).map(|s| (slot.stitch, s.stitch)));
        }
    }

    fn labelled(mut self) -> Vec<Row> {
        for (row, (_, numbers)) in self.rows.iter_mut().zip(&self.known) {
            row.label = label(numbers);
        }
        self.rows
    }
}

/// "3", "3–9", "2, 4", "2, 4, 6", "2, 4 … 30".
fn label(numbers: &[u32]) -> String {
    match numbers {
        [] => String::new(),
        [one] => one.to_string(),
        [first, .., last] if *last as usize + 1 == *first as usize + numbers.len() => {
            format!("{first}\u{2013}{last}")
        }
        [_, _] | [_, _, _] => numbers.iter().map(u32::to_string).collect::<Vec<_>>().join(", "),
        [first, second, .., last] => format!("{first}, {second} \u{2026} {last}"),
    }
}

fn row(fabric: &Fabric, course: &Course, wrong_side: bool) -> Row {
    let mut slots: Vec<Slot> = Vec::new();
    let mut rise = 0;
    for (i, stitch) in (course.stitches.start..).zip(fabric.of(course)) {
        match stitch.role {
            Role::Rise => rise += 1,
            Role::CountedRise => {
                rise += 1;
                let top = slot(i, stitch, wrong_side, false);
                slots.push(Slot { riser: true, ..top });
            }
            Role::Counted | Role::Space | Role::Foundation => {
                slots.push(slot(i, stitch, wrong_side, false));
            }
            Role::Ornament => slots.push(slot(i, stitch, wrong_side, true)),
            Role::Join | Role::Travel | Role::Seam => {}
        }
    }
    Row {
        label: String::new(),
        shape: course.shape,
        wrong_side,
        rise,
        joined: course.joined,
        in_ring: course.ground == Ground::Ring,
        slots,
    }
}

fn slot(i: u32, stitch: &Stitch, wrong_side: bool, on_top: bool) -> Slot {
    let mut feet = match stitch.base {
        Standing::Stitch(b) | Standing::Space(b) => vec![b],
        _ => Vec::new(),
    };
    if let (true, Standing::Stitch(first)) = (stitch.bases > 1, stitch.base) {
        // The places between first and last are drawn as legs of their own only where the
        // fabric says which they are: it names the two outermost.
        feet = vec![first, stitch.last];
        if stitch.bases > 2 {
            feet.insert(1, first.midpoint(stitch.last));
        }
    }
    Slot {
        stitch: i,
        kind: seen(stitch.kind, wrong_side),
        loops: seen_loop(stitch.loops, wrong_side),
        feet,
        group: stitch.group,
        on_top,
        riser: false,
    }
}

/// A chart shows the right side: a front post worked on a wrong-side row is seen as a back
/// post.
fn seen(kind: Kind, wrong_side: bool) -> Kind {
    let post = match (kind.post, wrong_side) {
        (Post::Front, true) => Post::Back,
        (Post::Back, true) => Post::Front,
        (post, _) => post,
    };
    Kind { post, ..kind }
}

fn seen_loop(loops: Loop, wrong_side: bool) -> Loop {
    match (loops, wrong_side) {
        (Loop::Front, true) => Loop::Back,
        (Loop::Back, true) => Loop::Front,
        (loops, _) => loops,
    }
}

/// What a course looks like, apart from its number: for finding alike courses. Sides are
/// taken off, so that turned rows of one kind are alike.
fn sign(fabric: &Fabric, course: &Course, row: &Row) -> String {
    use std::fmt::Write as _;
    let mut out = format!("{:?}{}{}", course.shape, row.rise, row.joined);
    let first = row.slots.iter().find_map(|s| s.feet.first().copied()).unwrap_or(0);
    for stitch in row.slots.iter().filter_map(|s| fabric.stitches.get(s.stitch as usize)) {
        let foot = match stitch.base {
            Standing::Stitch(b) | Standing::Space(b) => i64::from(b) - i64::from(first),
            _ => 0,
        };
        let _ = write!(
            out,
            ";{:?},{:?},{},{:?},{foot}",
            stitch.kind.base, stitch.kind.post, stitch.kind.together, stitch.loops
        );
    }
    out
}

/// The most repeats that all rows fall into; none if they do not fall into repeats.
pub(super) fn repeats(rows: &[Row]) -> Option<usize> {
    let widths: Vec<usize> = rows.iter().map(Row::width).filter(|w| *w > 0).collect();
    let all = widths.iter().copied().fold(0, gcd);
    (2..=all).rev().filter(|n| all.is_multiple_of(*n)).find(|n| rows.iter().all(|r| falls(r, *n)))
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// Whether a row is the same symbols `n` times over.
fn falls(row: &Row, n: usize) -> bool {
    if !row.slots.len().is_multiple_of(n) {
        return false;
    }
    let long = row.slots.len() / n;
    let look = |s: &Slot| (s.kind, s.loops, s.feet.len(), s.on_top);
    row.slots.iter().zip(row.slots.iter().skip(long)).all(|(a, b)| look(a) == look(b))
}

/// The first `shown` of `n` repeats of every row.
pub(super) fn first_repeats(rows: &[Row], n: usize, shown: usize) -> Vec<Row> {
    let cut = |r: &Row| Row {
        slots: r.slots.iter().take(r.slots.len() / n * shown).cloned().collect(),
        ..r.clone()
    };
    rows.iter().map(cut).collect()
}

/// Kinds and loops used, each once, in order of height.
pub(super) fn used(rows: &[Row]) -> Vec<(Kind, Loop)> {
    let mut out: Vec<(Kind, Loop)> =
        rows.iter().flat_map(|r| &r.slots).map(|s| (s.kind, s.loops)).collect();
    if rows.iter().any(|r| r.rise > 0) {
        out.push((Kind::CH, Loop::Both));
    }
    if rows.iter().any(|r| r.joined) {
        out.push((Kind::SL_ST, Loop::Both));
    }
    out.retain(|(k, l)| k.base != Base::Ch || *l == Loop::Both);
    out.sort();
    out.dedup();
    out
}
