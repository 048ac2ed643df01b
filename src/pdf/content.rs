//! What each page draws, as a content stream, with every mark given to its element.

use super::fonts::{Fonts, resource};
use super::object::number;
use super::pictures::{Pictures, upright};
use crate::typeset::Colour;
use crate::typeset::page::{Area, Draw, Item, Owner, Page, Pen, Placed, Run, Shape, Step};

/// A page's stream and which element each marked stretch of it belongs to.
#[derive(Debug, Default)]
pub struct Drawn {
    /// The stream.
    pub stream: Vec<u8>,
    /// Element and turn in the reading order, by marked-content number.
    pub marked: Vec<(usize, u32)>,
}

/// What the page's state is, so that nothing is said twice.
#[derive(Default, PartialEq)]
struct State {
    fill: Option<Colour>,
    line: Option<Colour>,
    width: Option<i64>,
    dash: Vec<f64>,
    font: Option<(usize, i64)>,
}

struct Writer<'f> {
    out: Vec<u8>,
    state: State,
    height: f64,
    fonts: &'f Fonts<'f>,
    pictures: &'f Pictures<'f>,
}

/// Draws a page of this height, in points.
pub fn draw(page: &Page, height: f64, fonts: &Fonts, pictures: &Pictures) -> Drawn {
    let mut writer = Writer {
        out: Vec::with_capacity(64 * page.items.len()),
        state: State::default(),
        height,
        fonts,
        pictures,
    };
    let mut marked = Vec::new();
    // Round caps and joins suit drawn stitches and dotted leaders alike.
    writer.out.extend_from_slice(b"1 J 1 j\n");
    for group in page.items.chunk_by(|a, b| a.owner == b.owner) {
        let Some(first) = group.first() else { continue };
        match first.owner {
            Owner::Element(element) => {
                let order = group.iter().map(|i| i.order).min().unwrap_or(0);
                writer.out.extend_from_slice(b"/C <</MCID ");
                number(&mut writer.out, marked.len() as f64);
                writer.out.extend_from_slice(b">> BDC\n");
                marked.push((element, order));
            }
            Owner::Head => writer.artifact("/Type /Pagination /Subtype /Header"),
            Owner::Foot => writer.artifact("/Type /Pagination /Subtype /Footer"),
            Owner::Ornament => writer.artifact("/Type /Layout"),
        }
        for part in group.chunk_by(|a, b| a.clip == b.clip) {
            writer.part(part);
        }
        writer.out.extend_from_slice(b"EMC\n");
    }
    Drawn { stream: writer.out, marked }
}

impl Writer<'_> {
    fn artifact(&mut self, kind: &str) {
        self.out.extend_from_slice(b"/Artifact <<");
        self.out.extend_from_slice(kind.as_bytes());
        self.out.extend_from_slice(b">> BDC\n");
    }

    fn part(&mut self, items: &[Item]) {
        let clip = items.first().and_then(|i| i.clip);
        if let Some(area) = clip {
            self.out.extend_from_slice(b"q ");
            self.area(area);
            self.out.extend_from_slice(b"re W n\n");
        }
        for item in items {
            match &item.draw {
                Draw::Text(run) => self.text(run),
                Draw::Shape(shape) => self.shape(shape),
                Draw::Picture(placed) => self.picture(placed),
            }
        }
        if clip.is_some() {
            self.out.extend_from_slice(b"Q\n");
            self.state = State::default();
        }
    }

    fn numbers(&mut self, values: &[f64]) {
        for value in values {
            number(&mut self.out, *value);
            self.out.push(b' ');
        }
    }

    fn area(&mut self, area: Area) {
        let y = self.height - area.y - area.height;
        self.numbers(&[area.x, y, area.width, area.height]);
    }

    fn colour(&mut self, colour: Colour, operator: &str) {
        let channels = [colour.0, colour.1, colour.2].map(|c| f64::from(c) / 255.0);
        self.numbers(&channels);
        self.out.extend_from_slice(operator.as_bytes());
        self.out.push(b'\n');
    }

    fn fill(&mut self, colour: Colour) {
        if self.state.fill != Some(colour) {
            self.colour(colour, "rg");
            self.state.fill = Some(colour);
        }
    }

    fn pen(&mut self, pen: &Pen) {
        if self.state.line != Some(pen.colour) {
            self.colour(pen.colour, "RG");
            self.state.line = Some(pen.colour);
        }
        let width = (pen.width * 1000.0).round() as i64;
        if self.state.width != Some(width) {
            self.numbers(&[pen.width]);
            self.out.extend_from_slice(b"w\n");
            self.state.width = Some(width);
        }
        if self.state.dash != pen.dash {
            self.out.push(b'[');
            self.numbers(&pen.dash);
            self.out.extend_from_slice(b"] 0 d\n");
            self.state.dash.clone_from(&pen.dash);
        }
    }

    fn text(&mut self, run: &Run) {
        self.fill(run.colour);
        self.out.extend_from_slice(b"BT ");
        let font = (run.face, (run.size * 1000.0).round() as i64);
        if self.state.font != Some(font) {
            self.out.extend_from_slice(resource(run.face).as_bytes());
            self.out.push(b' ');
            self.numbers(&[run.size]);
            self.out.extend_from_slice(b"Tf ");
            self.state.font = Some(font);
        }
        let (x, y) = (run.at.0, self.height - run.at.1);
        if run.turn == 0.0 {
            self.numbers(&[x, y]);
            self.out.extend_from_slice(b"Td ");
        } else {
            let (sin, cos) = run.turn.to_radians().sin_cos();
            self.numbers(&[cos, -sin, sin, cos, x, y]);
            self.out.extend_from_slice(b"Tm ");
        }
        self.glyphs(run);
        self.out.extend_from_slice(b"ET\n");
    }

    fn glyphs(&mut self, run: &Run) {
        const HEX: &[u8; 16] = b"0123456789ABCDEF";
        let units = self.fonts.units(run.face);
        self.out.extend_from_slice(b"[<");
        let last = run.glyphs.len().saturating_sub(1);
        for (i, glyph) in run.glyphs.iter().enumerate() {
            let code = self.fonts.code(run.face, glyph.id);
            for shift in [12, 8, 4, 0] {
                self.out.push(HEX[usize::from((code >> shift) & 15)]);
            }
            if glyph.kern != 0 && i < last {
                self.out.push(b'>');
                number(&mut self.out, -f64::from(glyph.kern) * 1000.0 / units);
                self.out.push(b'<');
            }
        }
        self.out.extend_from_slice(b">] TJ ");
    }

    fn shape(&mut self, shape: &Shape) {
        if let Some(colour) = shape.fill {
            self.fill(colour);
        }
        if let Some(pen) = &shape.stroke {
            self.pen(pen);
        }
        let h = self.height;
        for step in &shape.steps {
            match *step {
                Step::Move(x, y) => {
                    self.numbers(&[x, h - y]);
                    self.out.push(b'm');
                }
                Step::Line(x, y) => {
                    self.numbers(&[x, h - y]);
                    self.out.push(b'l');
                }
                Step::Curve([a, b, c, d, x, y]) => {
                    self.numbers(&[a, h - b, c, h - d, x, h - y]);
                    self.out.push(b'c');
                }
                Step::Close => self.out.push(b'h'),
            }
            self.out.push(b'\n');
        }
        let paint: &[u8] = match (&shape.stroke, shape.fill) {
            (Some(_), Some(_)) => b"B\n",
            (Some(_), None) => b"S\n",
            (None, Some(_)) => b"f\n",
            (None, None) => b"n\n",
        };
        self.out.extend_from_slice(paint);
    }

    fn picture(&mut self, placed: &Placed) {
        let Some((key, turn)) = self.pictures.find(placed.picture) else { return };
        let a = placed.area;
        let (x, y) = (a.x, self.height - a.y - a.height);
        let matrix = upright(turn, x, y, a.width, a.height);
        self.out.extend_from_slice(b"q ");
        self.numbers(&matrix);
        self.out.extend_from_slice(b"cm /");
        self.out.extend_from_slice(key.as_bytes());
        self.out.extend_from_slice(b" Do Q\n");
    }
}
