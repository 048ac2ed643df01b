//! Drawings in millimetres, from the worked fabric and its measures.
//!
//! Coordinates: origin at the top left, x to the right, y down, millimetres. A drawing
//! says what ink a mark has by role; the page theme says what colour that is.
//!
//! - [`pompom`], [`window`], [`hooks`], [`tape`]: templates at true scale, each with the
//!   [`check`] squares; [`code`]: a code to photograph. These need no fabric.
//! - [`chart`](mod@chart): a piece in stitch symbols, read off its fabric.
//! - [`schematic`]: the shape of every size with its measures.
//!
//! Every drawing has an `alt` function beside it that says what is shown.

pub mod chart;
pub mod check;
pub mod code;
pub mod hooks;
mod pack;
mod pen;
pub mod pompom;
pub mod schematic;
mod symbols;
pub mod tape;
pub mod window;

use serde::Serialize;

/// A drawing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawing {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// What is drawn, first to last.
    pub marks: Vec<Mark>,
}

/// One mark.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Mark {
    /// A line or shape.
    Path(Path),
    /// Words.
    Label(Label),
}

/// A line or shape.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Path {
    /// The pen's way.
    pub segments: Vec<Segment>,
    /// How its line is drawn, if it is.
    pub stroke: Option<Stroke>,
    /// How it is filled, if it is.
    pub fill: Option<Ink>,
}

/// One step of the pen. Points are (x, y) in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Segment {
    /// Lift the pen and set it down here.
    Move(f64, f64),
    /// Straight to here.
    Line(f64, f64),
    /// A cubic curve: two control points, then the end.
    Curve([f64; 6]),
    /// Back to where the pen was last set down.
    Close,
}

/// How a line is drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stroke {
    /// Line width in millimetres.
    pub width: f64,
    /// Dash and gap lengths in millimetres; empty for a whole line.
    pub dash: Vec<f64>,
    /// Which ink.
    pub ink: Ink,
}

/// What a mark is for; the theme gives the colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Ink {
    /// As the words.
    Text,
    /// The one accent colour.
    Accent,
    /// Lesser marks that must still be read.
    Quiet,
    /// Tints behind words; carries no meaning alone.
    Tint,
    /// The paper's own colour.
    Paper,
}

/// Words in a drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Label {
    /// Where the words' baseline begins, is centred or ends (see `anchor`), in millimetres.
    pub at: (f64, f64),
    /// The words.
    pub text: String,
    /// Type size in points.
    pub size: f64,
    /// Which part of the words stands at `at`.
    pub anchor: Anchor,
    /// Which ink.
    pub ink: Ink,
    /// Whether in the heavier weight.
    pub strong: bool,
    /// Turned clockwise by this many degrees about `at`.
    pub turn: f64,
}

/// Which part of a label stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}
