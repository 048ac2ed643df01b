//! What each page draws, as a content stream, with every mark given to its element.

use super::fonts::{Fonts, resource};
use super::object::{hundredths, number, string_byte};
use super::pictures::{Pictures, upright};
use super::way::{self, Grid, hundredth, tenth};
use crate::typeset::Colour;
use crate::typeset::page::{Area, Draw, Item, Owner, Page, Pen, Placed, Run, Shape};

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

/// What has been begun and not ended.
#[derive(Default, PartialEq)]
enum Open {
    #[default]
    Nothing,
    /// Words: where the last run began, in hundredths of a point; nothing after turned words.
    Words(Option<(i64, i64)>),
}

struct Writer<'f> {
    out: Vec<u8>,
    state: State,
    open: Open,
    height: f64,
    fonts: &'f Fonts<'f>,
    pictures: &'f Pictures<'f>,
}

/// Draws a page of this height, in points.
pub fn draw(page: &Page, height: f64, fonts: &Fonts, pictures: &Pictures) -> Drawn {
    let mut writer = Writer {
        out: Vec::with_capacity(64 * page.items.len()),
        state: State::default(),
        open: Open::default(),
        height,
        fonts,
        pictures,
    };
    let mut marked = Vec::new();
    // Round caps and joins suit drawn stitches and dotted leaders alike.
    writer.out.extend_from_slice(b"1 J 1 j\n");
    let items = ornaments_first(&page.items);
    for group in items.chunk_by(|a, b| a.owner == b.owner) {
        let Some(first) = group.first() else { continue };
        // A mark stands whole inside of the words begun before it, or they inside of it.
        let words = group.iter().all(|i| i.clip.is_none() && matches!(i.draw, Draw::Text(_)));
        if words {
            writer.words();
        } else {
            writer.close();
        }
        match first.owner {
            Owner::Element(element) => {
                let order = group.iter().map(|i| i.order).min().unwrap_or(0);
                writer.out.extend_from_slice(b"/C<</MCID ");
                number(&mut writer.out, marked.len() as f64);
                writer.out.extend_from_slice(b">>BDC\n");
                marked.push((element, order));
            }
            Owner::Head => writer.artifact("/Type/Pagination/Subtype/Header"),
            Owner::Foot => writer.artifact("/Type/Pagination/Subtype/Footer"),
            Owner::Ornament => writer.artifact("/Type/Layout"),
        }
        for part in group.chunk_by(|a, b| a.clip == b.clip) {
            writer.part(part);
        }
        if !words {
            writer.close();
        }
        writer.out.extend_from_slice(b"EMC\n");
    }
    writer.close();
    Drawn { stream: writer.out, marked }
}

/// The pen of a mark that is a line and no more.
fn pen_of(item: &Item) -> Option<&Pen> {
    match &item.draw {
        Draw::Shape(shape) if shape.fill.is_none() => shape.stroke.as_ref(),
        _ => None,
    }
}

/// The same marks with rules and tints before the words they stand among: what is read out
/// then runs on without a break. Nothing passes a drawing or a picture.
fn ornaments_first(items: &[Item]) -> Vec<&Item> {
    let ornament = |i: &Item| i.owner == Owner::Ornament && matches!(i.draw, Draw::Shape(_));
    let passes = |i: &Item| i.clip.is_none() && (ornament(i) || matches!(i.draw, Draw::Text(_)));
    let mut out = Vec::with_capacity(items.len());
    for stretch in items.chunk_by(|a, b| passes(a) && passes(b)) {
        out.extend(stretch.iter().filter(|i| ornament(i)));
        out.extend(stretch.iter().filter(|i| !ornament(i)));
    }
    out
}

impl Writer<'_> {
    fn artifact(&mut self, kind: &str) {
        self.out.extend_from_slice(b"/Artifact<<");
        self.out.extend_from_slice(kind.as_bytes());
        self.out.extend_from_slice(b">>BDC\n");
    }

    /// Begins words, unless they are begun.
    fn words(&mut self) {
        if !matches!(self.open, Open::Words(_)) {
            self.close();
            self.out.extend_from_slice(b"BT\n");
            self.open = Open::Words(Some((0, 0)));
        }
    }

    /// Ends what has been begun.
    fn close(&mut self) {
        match self.open {
            Open::Nothing => {}
            Open::Words(_) => self.out.extend_from_slice(b"ET\n"),
        }
        self.open = Open::Nothing;
    }

    fn part(&mut self, items: &[&Item]) {
        let clip = items.first().and_then(|i| i.clip);
        if let Some(area) = clip {
            self.close();
            self.out.extend_from_slice(b"q ");
            self.area(area);
            self.out.extend_from_slice(b"re W n\n");
        }
        for like in items.chunk_by(|a, b| pen_of(a).is_some() && pen_of(a) == pen_of(b)) {
            if let (Some(pen), [_, _, _, ..]) = (like.first().and_then(|i| pen_of(i)), like) {
                self.lines(pen, like);
                continue;
            }
            for item in like {
                match &item.draw {
                    Draw::Text(run) => self.text(run),
                    Draw::Shape(shape) => self.shape(shape),
                    Draw::Picture(placed) => self.picture(placed),
                }
            }
        }
        if clip.is_some() {
            self.close();
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
        let width = thousandths(pen.width);
        if self.state.width != Some(width) {
            self.numbers(&[pen.width]);
            self.out.extend_from_slice(b"w\n");
            self.state.width = Some(width);
        }
        if self.state.dash != pen.dash {
            self.out.push(b'[');
            self.numbers(&pen.dash);
            self.out.extend_from_slice(b"]0 d\n");
            self.state.dash.clone_from(&pen.dash);
        }
    }

    fn text(&mut self, run: &Run) {
        self.words();
        self.fill(run.colour);
        let font = (run.face, thousandths(run.size));
        if self.state.font != Some(font) {
            self.out.extend_from_slice(resource(run.face).as_bytes());
            self.out.push(b' ');
            self.numbers(&[run.size]);
            self.out.extend_from_slice(b"Tf\n");
            self.state.font = Some(font);
        }
        let (x, y) = (hundredth(run.at.0), hundredth(self.height - run.at.1));
        let (sin, cos) = run.turn.to_radians().sin_cos();
        let upright = run.turn == 0.0;
        match self.open {
            // From the last run's beginning: rounded places differ by round numbers.
            Open::Words(Some((x0, y0))) if upright => self.place(&[x - x0, y - y0], "Td"),
            _ => {
                self.numbers(&[cos, -sin, sin, cos]);
                self.place(&[x, y], "Tm");
            }
        }
        self.open = Open::Words(upright.then_some((x, y)));
        self.glyphs(run);
    }

    /// Places or ways in hundredths of a point, and what they are for.
    fn place(&mut self, values: &[i64], operator: &str) {
        for value in values {
            hundredths(&mut self.out, *value);
            self.out.push(b' ');
        }
        self.out.extend_from_slice(operator.as_bytes());
    }

    fn glyphs(&mut self, run: &Run) {
        let units = self.fonts.units(run.face);
        let narrow = self.fonts.is_narrow(run.face);
        self.out.extend_from_slice(b"[(");
        let last = run.glyphs.len().saturating_sub(1);
        for (i, glyph) in run.glyphs.iter().enumerate() {
            let [high, low] = self.fonts.code(run.face, glyph.id).to_be_bytes();
            if !narrow {
                string_byte(&mut self.out, high);
            }
            string_byte(&mut self.out, low);
            if glyph.kern != 0 && i < last {
                self.out.push(b')');
                number(&mut self.out, -f64::from(glyph.kern) * 1000.0 / units);
                self.out.push(b'(');
            }
        }
        self.out.extend_from_slice(b")]TJ\n");
    }

    fn shape(&mut self, shape: &Shape) {
        self.close();
        if let Some(colour) = shape.fill {
            self.fill(colour);
        }
        if let Some(pen) = &shape.stroke {
            self.pen(pen);
        }
        if let Some(grid) = way::grid(shape).filter(|_| shape.stroke.is_none()) {
            return self.grid(&grid);
        }
        let curved = way::is_curved(shape);
        if curved {
            self.out.extend_from_slice(b"q ");
            let (x0, y0) = way::begins(shape);
            self.origin((hundredth(x0), hundredth(self.height - y0)));
            way::path(&mut self.out, shape, |(x, y)| (hundredth(x - x0), hundredth(y0 - y)));
        } else {
            let foot = self.height;
            let fine = if way::is_long(shape) { tenth } else { hundredth };
            way::path(&mut self.out, shape, |(x, y)| (fine(x), fine(foot - y)));
        }
        let paint: &[u8] = match (&shape.stroke, shape.fill) {
            (Some(_), Some(_)) => b"B\n",
            (Some(_), None) => b"S\n",
            (None, Some(_)) => b"f\n",
            (None, None) => b"n\n",
        };
        self.out.extend_from_slice(paint);
        if curved {
            self.out.extend_from_slice(b"Q\n");
        }
    }

    /// Rectangles in fields of their grid: whole numbers, which pack well.
    fn grid(&mut self, grid: &Grid) {
        let (x, y) = grid.origin;
        self.out.extend_from_slice(b"q ");
        self.numbers(&[grid.field, 0.0, 0.0, grid.field, x, self.height - y]);
        self.out.extend_from_slice(b"cm\n");
        for cell in &grid.cells {
            self.place(&cell.map(|fields| 100 * fields), "re\n");
        }
        self.out.extend_from_slice(b"f\nQ\n");
    }

    /// Lines of one pen, each from where it begins: ticks and stitches stand in rows, and
    /// one way from the next is often another's.
    fn lines(&mut self, pen: &Pen, items: &[&Item]) {
        self.close();
        self.pen(pen);
        self.out.extend_from_slice(b"q\n");
        let mut before = (0, 0);
        for item in items {
            let Draw::Shape(shape) = &item.draw else { continue };
            let (x0, y0) = way::begins(shape);
            let here = (tenth(x0), tenth(self.height - y0));
            self.origin((here.0 - before.0, here.1 - before.1));
            before = here;
            let fine = if way::is_curved(shape) { hundredth } else { tenth };
            way::path(&mut self.out, shape, |(x, y)| (fine(x - x0), fine(y0 - y)));
            self.out.extend_from_slice(b"S\n");
        }
        self.out.extend_from_slice(b"Q\n");
    }

    /// Moves the origin by so many hundredths of a point.
    fn origin(&mut self, by: (i64, i64)) {
        self.out.extend_from_slice(b"1 0 0 1 ");
        self.place(&[by.0, by.1], "cm\n");
    }

    fn picture(&mut self, placed: &Placed) {
        self.close();
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

fn thousandths(value: f64) -> i64 {
    (value * 1000.0).round() as i64
}
