//! The pompom template at true scale: fur circle, yarn ring, check squares.
//!
//! How large to cut follows published craft practice; the figures and their sources are
//! in the table of worked measures ([`crate::standards::worked`]).

use super::check;
use super::pen::{CUT, both_units, circle, dashed, line, line_of, rough_width, trimmed, words};
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
    let mut sheets = sheets(plan, 170.0, f64::INFINITY);
    if sheets.is_empty() { Drawing::default() } else { sheets.swap_remove(0) }
}

/// The template cut into sheets that each fit `width` by `height` millimetres where a
/// single circle does. Every sheet has both check squares. Empty for an empty plan.
pub fn sheets(plan: &PompomPlan, width: f64, height: f64) -> Vec<Drawing> {
    let mut pieces: Vec<Drawing> = plan.fur.iter().map(fur_piece).collect();
    pieces.extend(plan.rings.iter().map(ring_piece));
    let squares = check::squares();
    let mut out = Vec::new();
    let mut rest = pieces.as_slice();
    while !rest.is_empty() {
        let (sheet, taken) = fill_sheet(rest, &squares, width, height);
        out.push(sheet);
        rest = rest.get(taken..).unwrap_or_default();
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

fn for_sizes(sizes: &[String]) -> String {
    if sizes.is_empty() { String::new() } else { format!(" for {}", sizes.join(", ")) }
}

const GAP: f64 = 5.0;
const LINE: f64 = 4.2;

/// Sets pieces in rows, and the squares last, until the sheet is full. Takes one at least.
fn fill_sheet(pieces: &[Drawing], squares: &Drawing, width: f64, height: f64) -> (Drawing, usize) {
    let widest = pieces.iter().map(|p| p.width).fold(squares.width, f64::max);
    let mut rows = Rows::new(width.max(widest));
    let mut taken = 0;
    for piece in pieces {
        let mut tried = rows.clone();
        tried.put(piece);
        let mut whole = tried.clone();
        whole.put(squares);
        if taken > 0 && whole.height() > height {
            break;
        }
        rows = tried;
        taken += 1;
    }
    rows.put(squares);
    (rows.finish(), taken)
}

/// Pieces set in rows from left to right.
#[derive(Clone)]
struct Rows {
    limit: f64,
    x: f64,
    y: f64,
    row: f64,
    out: Drawing,
}

impl Rows {
    fn new(limit: f64) -> Rows {
        Rows { limit, x: 0.0, y: 0.0, row: 0.0, out: Drawing::default() }
    }

    fn put(&mut self, piece: &Drawing) {
        if self.x > 0.0 && self.x + piece.width > self.limit {
            self.y += self.row + GAP;
            self.x = 0.0;
            self.row = 0.0;
        }
        self.out.place(piece, self.x, self.y);
        self.out.width = self.out.width.max(self.x + piece.width);
        self.row = self.row.max(piece.height);
        self.x += piece.width + GAP;
    }

    fn height(&self) -> f64 {
        self.y + self.row
    }

    fn finish(mut self) -> Drawing {
        self.out.height = self.height();
        self.out
    }
}

fn fur_piece(f: &FurCut) -> Drawing {
    let c = (f.cut + CUT) / 2.0;
    let mut d = Drawing { width: f.cut + CUT, height: f.cut + CUT, marks: Vec::new() };
    d.add(circle(c, c, f.cut / 2.0, line_of(CUT, Ink::Text)));
    let gather = f.cut / 2.0 - gather_inset();
    if gather > 0.0 {
        d.add(circle(c, c, gather, dashed(0.35, 2.4, 1.6, Ink::Text)));
    }
    let mut said = vec![
        format!("Fur: cut 1, {} across", both_units(f.cut)),
        format!("pile {}\u{a0}mm, pompom about {}", trimmed(f.pile), both_units(f.finished())),
        "gather along the broken line".to_owned(),
    ];
    if !f.sizes.is_empty() {
        said.insert(1, f.sizes.join(", "));
    }
    inside(&mut d, c, c, 2.0 * gather - 4.0, &said);
    d
}

fn ring_piece(r: &YarnRing) -> Drawing {
    let mut said = vec![
        format!("Yarn ring: cut 2 in card, {} across", both_units(r.outer)),
        format!("hole {}, pompom about {}", both_units(r.hole), both_units(r.finished())),
        "cut the slit and the hole".to_owned(),
    ];
    if !r.sizes.is_empty() {
        said.insert(1, r.sizes.join(", "));
    }
    let room = said.iter().map(|s| rough_width(s, 8.0)).fold(0.0, f64::max);
    let side = r.outer + CUT;
    let lines = f64::from(u8::try_from(said.len()).unwrap_or(4));
    let mut d =
        Drawing { width: side.max(room), height: side + LINE * lines + 1.5, marks: Vec::new() };
    let (cx, cy) = (d.width / 2.0, side / 2.0);
    d.add(circle(cx, cy, r.outer / 2.0, line_of(CUT, Ink::Text)));
    d.add(circle(cx, cy, r.hole / 2.0, line_of(CUT, Ink::Text)));
    let (a, b) = (cx + r.hole / 2.0, cx + r.outer / 2.0);
    d.add(line((a, cy), (b, cy), dashed(CUT, 1.6, 1.0, Ink::Text)));
    d.say(words(((a + b) / 2.0, cy - 1.5), "slit", 8.0, Anchor::Middle));
    d.say(words((cx, cy + 1.0), "hole", 8.0, Anchor::Middle));
    for (i, s) in (0_u8..).zip(&said) {
        let y = side + LINE * (f64::from(i) + 1.0);
        d.say(words((cx, y), s.as_str(), 8.0, Anchor::Middle));
    }
    d
}

/// Lines of words in the middle of a circle, in type small enough for the room there.
fn inside(d: &mut Drawing, cx: f64, cy: f64, room: f64, said: &[String]) {
    let widest = said.iter().map(|s| rough_width(s, 1.0)).fold(1e-6, f64::max);
    let size = (room / widest).clamp(5.0, 9.5);
    let pitch = LINE * size / 9.0;
    let lines = f64::from(u8::try_from(said.len()).unwrap_or(4));
    for (i, s) in (0_u8..).zip(said) {
        let y = cy + pitch * (f64::from(i) - lines / 2.0 + 0.5);
        let label = words((cx, y), s.as_str(), size, Anchor::Middle);
        d.say(if i == 0 { label.strong() } else { label });
    }
}
