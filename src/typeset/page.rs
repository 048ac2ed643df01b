//! What typesetting gives: pages of positioned marks, and the reading order over them.
//!
//! Lengths are points (1/72 inch), from the page's top left corner, x to the right, y down.
//! Everything is plain data and can be compared.

use super::colour::Colour;
use std::borrow::Cow;

/// A finished booklet: sheets of marks and one structure over all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Pages {
    /// Page width in points.
    pub width: f64,
    /// Page height in points.
    pub height: f64,
    /// The pages, first to last.
    pub pages: Vec<Page>,
    /// The structure: every element names its parent; a parent stands before its children.
    /// The first is the whole document.
    pub elements: Vec<Element>,
    /// Entries of the outline, in order.
    pub outline: Vec<OutlineEntry>,
    /// The faces that [`Run::face`] counts into; `None` where no word uses one.
    pub faces: Vec<Option<FaceFile>>,
    /// What is known of each picture of the document; `None` where it is not shown.
    pub pictures: Vec<Option<PictureFacts>>,
    /// The theme's own mark, if the pages show one.
    pub logo: Option<Vec<u8>>,
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Marks in painting order.
    pub items: Vec<Item>,
    /// Places to press.
    pub links: Vec<LinkArea>,
}

/// One mark on a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What it belongs to.
    pub owner: Owner,
    /// Its turn in the reading order among the marks of its element.
    pub order: u32,
    /// Marks outside this box are cut off.
    pub clip: Option<Area>,
    /// What is drawn.
    pub draw: Draw,
}

/// What a mark belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owner {
    /// An element of the structure, by index.
    Element(usize),
    /// The running head: not read out.
    Head,
    /// The running foot: not read out.
    Foot,
    /// A rule, a tint, a box to tick: not read out.
    Ornament,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Draw {
    /// Words.
    Text(Run),
    /// A line or shape.
    Shape(Shape),
    /// A picture.
    Picture(Placed),
}

/// Words of one face and size on one baseline.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Index into [`Pages::faces`].
    pub face: usize,
    /// Type size in points.
    pub size: f64,
    /// Where the baseline begins.
    pub at: (f64, f64),
    /// Turned clockwise by this many degrees about `at`.
    pub turn: f64,
    /// Colour.
    pub colour: Colour,
    /// The words.
    pub text: String,
    /// The glyphs, left to right.
    pub glyphs: Vec<Glyph>,
    /// From the first glyph's origin to the end of the last, in points, without a
    /// closing space.
    pub width: f64,
}

/// One glyph. Lengths are in the face's own units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glyph {
    /// The glyph's number in the face.
    pub id: u16,
    /// How many bytes of the run's text it shows.
    pub bytes: u8,
    /// The face's own advance.
    pub advance: u16,
    /// What kerning adds to it.
    pub kern: i16,
}

/// A line or shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The pen's way.
    pub steps: Vec<Step>,
    /// The line: width, colour, dashes.
    pub stroke: Option<Pen>,
    /// The fill.
    pub fill: Option<Colour>,
}

/// How a line is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Pen {
    /// Width in points.
    pub width: f64,
    /// Colour.
    pub colour: Colour,
    /// Dash and gap lengths in points.
    pub dash: Vec<f64>,
}

/// One step of the pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Set down here.
    Move(f64, f64),
    /// Straight to here.
    Line(f64, f64),
    /// Two control points, then the end.
    Curve([f64; 6]),
    /// Back to where the pen was set down.
    Close,
}

/// A picture on a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Which picture.
    pub picture: PictureId,
    /// Where it stands, upright.
    pub area: Area,
}

/// Which picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PictureId {
    /// Index into the document's pictures.
    Document(usize),
    /// The theme's own mark.
    Logo,
}

/// What is known of a picture file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PictureFacts {
    /// Width in pixels, as shown upright.
    pub width: u32,
    /// Height in pixels, as shown upright.
    pub height: u32,
}

/// A box on a page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Area {
    /// The same box moved.
    pub fn moved(self, dx: f64, dy: f64) -> Area {
        Area { x: self.x + dx, y: self.y + dy, ..self }
    }

    /// The same box, larger or smaller about the origin.
    pub fn scaled(self, by: f64) -> Area {
        Area { x: self.x * by, y: self.y * by, width: self.width * by, height: self.height * by }
    }

    /// The smallest box that holds both.
    pub fn with(self, o: Area) -> Area {
        let (x, y) = (self.x.min(o.x), self.y.min(o.y));
        let right = (self.x + self.width).max(o.x + o.width);
        let foot = (self.y + self.height).max(o.y + o.height);
        Area { x, y, width: right - x, height: foot - y }
    }
}

/// A place to press.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkArea {
    /// Where.
    pub area: Area,
    /// Where it leads.
    pub goes: Goes,
    /// Said of it to who cannot see it.
    pub words: String,
    /// Its element.
    pub element: usize,
}

/// Where a link leads.
#[derive(Clone, Debug, PartialEq)]
pub enum Goes {
    /// A page, counted from 0, and how far down it.
    Page(usize, f64),
    /// An address outside.
    Uri(String),
}

/// One entry of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEntry {
    /// 1 for chapters, 2 for what stands in them.
    pub level: u8,
    /// The words.
    pub title: String,
    /// The page, counted from 0.
    pub page: usize,
    /// How far down the page.
    pub y: f64,
}

/// A font file and its name.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceFile {
    /// The name inside the document: letters and digits only.
    pub name: String,
    /// The file.
    pub bytes: Cow<'static, [u8]>,
    /// Units per em.
    pub units: u16,
}

/// What an element is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tag {
    /// The whole.
    Document,
    /// A part with a heading.
    Sect,
    /// Blocks that belong together.
    Div,
    /// A heading, 1 to 6.
    Heading(u8),
    /// A paragraph.
    Paragraph,
    /// A list.
    List,
    /// One entry of a list.
    Item,
    /// What stands before an entry.
    ItemLabel,
    /// The entry itself.
    ItemBody,
    /// A table.
    Table,
    /// Its head rows.
    TableHead,
    /// Its other rows.
    TableBody,
    /// A row.
    Row,
    /// A head cell: of its row, or of its column.
    HeadCell(Scope),
    /// A cell.
    Cell,
    /// Words said of a table or figure.
    Caption,
    /// A picture or drawing.
    Figure,
    /// Words with a meaning of their own.
    Span,
    /// A place to press.
    Link,
    /// The contents list.
    Contents,
    /// One line of it.
    ContentsItem,
    /// What that line refers to.
    Reference,
}

/// What a head cell is the head of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Its row.
    Row,
    /// Its column.
    Column,
}

/// One element of the structure.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// What it is.
    pub tag: Tag,
    /// Its parent's index; `None` for the first only.
    pub parent: Option<usize>,
    /// What is said of it to who cannot see it.
    pub alt: Option<String>,
    /// What an abbreviation stands for.
    pub expansion: Option<String>,
    /// How many columns a cell spans.
    pub span: u8,
    /// Where a figure stands: page and box.
    pub place: Option<(usize, Area)>,
}

impl Draw {
    /// The box a mark covers, roughly for shapes (control points count), from ascender to
    /// descender for upright words. `None` for turned words.
    pub fn area(&self) -> Option<Area> {
        match self {
            Draw::Text(run) if run.turn == 0.0 => Some(Area {
                x: run.at.0,
                y: run.at.1 - 0.72 * run.size,
                width: run.width,
                height: 0.95 * run.size,
            }),
            Draw::Text(_) => None,
            Draw::Picture(placed) => Some(placed.area),
            Draw::Shape(shape) => shape.area(),
        }
    }

    /// Moves the mark.
    pub fn shift(&mut self, dx: f64, dy: f64) {
        match self {
            Draw::Text(run) => run.at = (run.at.0 + dx, run.at.1 + dy),
            Draw::Picture(placed) => placed.area = placed.area.moved(dx, dy),
            Draw::Shape(shape) => shape.map(|x, y| (x + dx, y + dy)),
        }
    }

    /// Makes the mark larger or smaller about the origin; lines keep their width.
    pub fn scale(&mut self, by: f64) {
        match self {
            Draw::Text(run) => {
                run.at = (run.at.0 * by, run.at.1 * by);
                run.size *= by;
                run.width *= by;
            }
            Draw::Picture(placed) => placed.area = placed.area.scaled(by),
            Draw::Shape(shape) => shape.map(|x, y| (x * by, y * by)),
        }
    }
}

impl Shape {
    fn area(&self) -> Option<Area> {
        let points = self.steps.iter().flat_map(|s| match *s {
            Step::Move(x, y) | Step::Line(x, y) => vec![(x, y)],
            Step::Curve(c) => vec![(c[0], c[1]), (c[2], c[3]), (c[4], c[5])],
            Step::Close => vec![],
        });
        points.map(|(x, y)| Area { x, y, ..Area::default() }).reduce(Area::with)
    }

    /// Moves every point of the pen's way.
    fn map(&mut self, to: impl Fn(f64, f64) -> (f64, f64)) {
        for step in &mut self.steps {
            match step {
                Step::Move(x, y) | Step::Line(x, y) => (*x, *y) = to(*x, *y),
                Step::Curve([a, b, c, d, e, f]) => {
                    (*a, *b) = to(*a, *b);
                    (*c, *d) = to(*c, *d);
                    (*e, *f) = to(*e, *f);
                }
                Step::Close => {}
            }
        }
    }

    /// A straight line.
    pub fn line(from: (f64, f64), to: (f64, f64), pen: Pen) -> Shape {
        let steps = vec![Step::Move(from.0, from.1), Step::Line(to.0, to.1)];
        Shape { steps, stroke: Some(pen), fill: None }
    }

    /// A rectangle.
    pub fn rect(a: Area, stroke: Option<Pen>, fill: Option<Colour>) -> Shape {
        let steps = vec![
            Step::Move(a.x, a.y),
            Step::Line(a.x + a.width, a.y),
            Step::Line(a.x + a.width, a.y + a.height),
            Step::Line(a.x, a.y + a.height),
            Step::Close,
        ];
        Shape { steps, stroke, fill }
    }
}
