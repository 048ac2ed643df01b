//! Pictures and drawings: how large, where, and what is drawn.

use super::composer::{Composer, Room, bound, indented, nodes, spaced};
use super::inline::words_of;
use super::page::{Area, Draw, Item, Owner, Pen, PictureId, Placed, Run, Shape, Step, Tag};
use super::strip::{Node, Pin, Strip, pile};
use super::theme::{MM, Voice};
use crate::booklet::document::{Art, Figure, Fit, Inline};
use crate::diag::Finding;
use crate::figure::{Anchor, Drawing, Ink, Label, Mark, Path, Segment};

/// True-scale drawings may reach this near the paper's edge, in points: most printers can.
const EDGE: f64 = 10.0 * MM;
/// How far a figure may be made smaller so that it fits a page that is nearly full.
const ELASTIC: f64 = 0.72;
/// The smallest label in a drawing that was made smaller, in points.
const LEAST_LABEL: f64 = 6.0;

impl Composer<'_> {
    /// A figure with its caption.
    pub fn figure(&mut self, figure: &Figure, room: Room, out: &mut Vec<Node>) {
        if let (Fit::TrueScale, Art::Drawing(_)) = (figure.fit, &figure.art) {
            return self.shelves(&[figure], room, out);
        }
        let group = self.element(Tag::Div, room.parent);
        let Some((width, height)) = self.figure_size(figure, room) else { return };
        let text = room.width - room.hang;
        let x = if width <= text + 0.01 { room.hang } else { (room.width - width) / 2.0 };
        // Enlarged words must stay large: such a figure moves on rather than shrink.
        let elastic = if self.theme.figure_growth > 1.0 { 0.0 } else { ELASTIC };
        let mut strip = Strip { height, elastic, ..Strip::default() };
        self.place_figure(figure, group, Area { x, y: 0.0, width, height }, &mut strip);
        let caption = self.figure_caption(&figure.caption, group, width.max(0.6 * text));
        let strips = std::iter::once(strip).chain(caption.into_iter().map(|mut s| {
            s.shift(x, 0.0);
            s
        }));
        let line = self.theme.body.leading;
        out.extend(nodes(spaced(bound(strips.collect()), 0.5 * line, line)));
    }

    fn figure_caption(
        &mut self,
        caption: &Option<Vec<Inline>>,
        group: usize,
        width: f64,
    ) -> Vec<Strip> {
        let Some(caption) = caption else { return Vec::new() };
        let owner = self.element(Tag::Paragraph, group);
        let style = self.small_style();
        let strips = self.set(caption, style, owner, width);
        spaced(strips, 0.3 * self.theme.body.leading, 0.0)
    }

    /// Width and height in points; notes a finding if there is nothing to show.
    pub fn figure_size(&mut self, figure: &Figure, room: Room) -> Option<(f64, f64)> {
        let (w, h) = match &figure.art {
            Art::Picture(i) => {
                let facts = self.picture(*i)?;
                (f64::from(facts.width), f64::from(facts.height))
            }
            Art::Drawing(d) => (d.width, d.height),
        };
        if !(w > 0.0 && h > 0.0 && w.is_finite() && h.is_finite()) {
            let alt = &figure.alt;
            self.findings
                .push(Finding::fault("picture", format!("\u{201c}{alt}\u{201d} has no size")));
            return None;
        }
        let text = room.width - room.hang;
        let share = match figure.fit {
            Fit::Width(share) if share.is_finite() => (share * self.theme.figure_growth).max(0.05),
            _ => 1.0,
        };
        let width = (share * text).min(room.width);
        // A caption and a line of text must find room on the same page.
        let most = self.area().height - 5.0 * self.theme.body.leading;
        let scale = (width / w).min(most / h);
        Some((w * scale, h * scale))
    }

    /// Draws a figure into `area` of a strip, as an element of its own under `parent`.
    pub fn place_figure(&mut self, figure: &Figure, parent: usize, area: Area, strip: &mut Strip) {
        let owner = self.element(Tag::Figure, parent);
        self.elements[owner].alt = Some(figure.alt.clone());
        strip.pins.push(Pin::Figure(owner, area));
        let order = self.next_order();
        match &figure.art {
            Art::Picture(i) => strip.items.push(Item {
                owner: Owner::Element(owner),
                order,
                clip: None,
                draw: Draw::Picture(Placed { picture: PictureId::Document(*i), area }),
            }),
            Art::Drawing(drawing) => {
                let scale = area.width / drawing.width;
                let mut items = self.marks(drawing, owner, scale);
                for item in &mut items {
                    item.draw.shift(area.x, area.y);
                }
                strip.items.append(&mut items);
            }
        }
    }

    /// A drawing's marks at `scale` points a millimetre, from the origin.
    pub fn marks(&mut self, drawing: &Drawing, owner: usize, scale: f64) -> Vec<Item> {
        let mut items = Vec::new();
        for mark in &drawing.marks {
            let order = self.next_order();
            let mut put = |draw| {
                items.push(Item { owner: Owner::Element(owner), order, clip: None, draw });
            };
            match mark {
                Mark::Path(path) => {
                    if let Some(shape) = self.shape(path, scale) {
                        put(Draw::Shape(shape));
                    }
                }
                Mark::Label(label) => {
                    self.label_runs(label, scale).into_iter().map(Draw::Text).for_each(put)
                }
            }
        }
        items
    }

    fn shape(&self, path: &Path, scale: f64) -> Option<Shape> {
        let steps: Vec<Step> = path
            .segments
            .iter()
            .map(|s| match *s {
                Segment::Move(x, y) => Step::Move(x * scale, y * scale),
                Segment::Line(x, y) => Step::Line(x * scale, y * scale),
                Segment::Curve(c) => Step::Curve(c.map(|v| v * scale)),
                Segment::Close => Step::Close,
            })
            .collect();
        if !matches!(steps.first(), Some(Step::Move(..))) {
            return None;
        }
        let mut shape = Shape { steps, stroke: None, fill: None };
        shape.stroke = path.stroke.as_ref().and_then(|s| {
            let colour = self.theme.colour(s.ink)?;
            let dash = s.dash.iter().map(|d| d * scale).collect();
            // Lines of a drawing keep their width: a thin one must still be seen.
            Some(Pen { width: s.width * scale.min(MM), colour, dash })
        });
        shape.fill = path.fill.and_then(|ink| self.theme.colour(ink));
        if self.theme.low_ink
            && let (Some(colour), Some(ink)) = (shape.fill, path.fill)
            && ink != Ink::Paper
            && Draw::Shape(shape.clone()).area().is_some_and(|a| a.width.max(a.height) > 3.0 * MM)
        {
            shape.fill = None;
            shape.stroke.get_or_insert(Pen { width: 0.4, colour, dash: Vec::new() });
        }
        (shape.stroke.is_some() || shape.fill.is_some()).then_some(shape)
    }

    /// A label's words; more than one run where another face must help out.
    fn label_runs(&mut self, label: &Label, scale: f64) -> Vec<Run> {
        let Some(colour) = self.theme.colour(label.ink) else { return Vec::new() };
        let shrink = scale / MM;
        let least = LEAST_LABEL.min(label.size);
        let size = (label.size * shrink).max(least);
        let voice = if label.strong { Voice::Strong } else { Voice::Text };
        let words: String = label
            .text
            .chars()
            .map(|c| if c.is_whitespace() || c == '\u{a0}' { ' ' } else { c })
            .filter(|c| !c.is_control())
            .collect();
        let whole = self.shaper.width(voice, size, &words);
        let back = match label.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => whole / 2.0,
            Anchor::End => whole,
        };
        let (sin, cos) = label.turn.to_radians().sin_cos();
        let mut along = -back;
        let mut runs = Vec::new();
        for (voice, part) in self.shaper.by_face(voice, &words) {
            let shaped = self.shaper.shape(voice, part);
            let width = shaped.ems * size;
            runs.push(Run {
                face: voice as usize,
                size,
                at: (label.at.0 * scale + along * cos, label.at.1 * scale + along * sin),
                turn: label.turn,
                colour,
                text: shaped.text.clone(),
                glyphs: shaped.glyphs.clone(),
                width,
            });
            along += width;
        }
        runs
    }

    /// True-scale drawings, side by side while they fit; one too large is cut into sheets.
    pub fn shelves(&mut self, figures: &[&Figure], room: Room, out: &mut Vec<Node>) {
        let mut shelf: Vec<Strip> = Vec::new();
        let mut used = 0.0;
        let gap = 8.0 * MM;
        let text = room.width - room.hang;
        for figure in figures {
            let Art::Drawing(drawing) = &figure.art else { continue };
            let (w, h) = (drawing.width * MM, drawing.height * MM);
            if !(w > 0.0 && h > 0.0 && w.is_finite() && h.is_finite()) {
                let alt = &figure.alt;
                let words = format!("\u{201c}{alt}\u{201d} has no size");
                self.findings.push(Finding::fault("picture", words));
                continue;
            }
            let widest = self.paper.0 - 2.0 * EDGE;
            let tallest = self.area().height - self.caption_room(&figure.caption, w.min(text));
            if w > widest || h > tallest {
                self.close_shelf(&mut shelf, out);
                used = 0.0;
                if h <= widest && w <= tallest {
                    let art = Art::Drawing(turned(drawing));
                    self.shelves(&[&Figure { art, ..(*figure).clone() }], room, out);
                } else {
                    self.sheets(figure, drawing, room, out);
                }
                continue;
            }
            let least = w.max(0.4 * text);
            if used > 0.0 && used + gap + least > text {
                self.close_shelf(&mut shelf, out);
                used = 0.0;
            }
            let x = if used > 0.0 {
                room.hang + used + gap
            } else if w <= text {
                room.hang
            } else {
                (room.width - w) / 2.0
            };
            // A drawing may reach into the margins; words may not.
            let caption_width = least.min(room.width);
            let area = Area { x, y: 0.0, width: w, height: h };
            shelf.push(self.true_scale(figure, area, room.parent, caption_width));
            used = x - room.hang + least;
        }
        self.close_shelf(&mut shelf, out);
    }

    /// About how much room a caption takes.
    fn caption_room(&mut self, caption: &Option<Vec<Inline>>, width: f64) -> f64 {
        let Some(caption) = caption else { return 0.0 };
        let small = self.theme.small;
        let whole = self.shaper.width(Voice::Text, small.size, &words_of(caption));
        let lines = (1.15 * whole / width.max(1.0)).ceil().max(1.0);
        lines * small.leading + 0.3 * self.theme.body.leading
    }

    fn true_scale(
        &mut self,
        figure: &Figure,
        area: Area,
        parent: usize,
        caption_width: f64,
    ) -> Strip {
        let group = self.element(Tag::Div, parent);
        let mut strip = Strip { height: area.height, ..Strip::default() };
        self.place_figure(figure, group, area, &mut strip);
        let caption = self.figure_caption(&figure.caption, group, caption_width);
        let caption = indented(caption, area.x.max(0.0));
        pile(std::iter::once(strip).chain(caption).collect())
    }

    fn close_shelf(&mut self, shelf: &mut Vec<Strip>, out: &mut Vec<Node>) {
        let mut whole = Strip::default();
        for strip in shelf.drain(..) {
            whole.absorb(strip, 0.0, 0.0);
        }
        if whole.height > 0.0 {
            let line = self.theme.body.leading;
            out.extend(nodes(spaced(vec![whole], 0.5 * line, line)));
        }
    }

    /// A drawing larger than the page, on overlapping sheets with joining marks.
    fn sheets(&mut self, figure: &Figure, drawing: &Drawing, room: Room, out: &mut Vec<Node>) {
        let group = self.element(Tag::Div, room.parent);
        let cut = self.sheet_grid(drawing);
        let total = cut.columns * cut.rows;
        if total > crate::limits::PAGES {
            let words =
                format!("the drawing \u{201c}{}\u{201d} would need {total} sheets", figure.alt);
            self.findings.push(Finding::fault("limit", words).help("draw it smaller"));
            return;
        }
        for row in 0..cut.rows {
            for column in 0..cut.columns {
                let n = row * cut.columns + column + 1;
                let strip = self.sheet(figure, drawing, group, &cut, (column, row), (n, total));
                let width = cut.width.min(room.width);
                let mut strip = self.with_caption(strip, figure, group, n == total, width);
                strip.shift((room.width - width) / 2.0, 0.0);
                strip.after = self.theme.body.leading;
                out.push(Node::Strip(strip));
            }
        }
    }

    fn with_caption(
        &mut self,
        strip: Strip,
        figure: &Figure,
        group: usize,
        last: bool,
        width: f64,
    ) -> Strip {
        let caption = if last { figure.caption.clone() } else { None };
        let caption = self.figure_caption(&caption, group, width);
        pile(std::iter::once(strip).chain(caption).collect())
    }

    fn sheet_grid(&self, drawing: &Drawing) -> Cut {
        let overlap = 10.0 * MM;
        let line = self.theme.body.leading;
        let (w, h) = (drawing.width * MM, drawing.height * MM);
        let width = self.paper.0 - 2.0 * EDGE;
        // A heading, the sheet's own title and the caption share the page.
        let height = self.area().height - 9.0 * line;
        let parts = |whole: f64, sheet: f64| {
            if whole <= sheet { 1 } else { ((whole - overlap) / (sheet - overlap)).ceil() as usize }
        };
        let (columns, rows) = (parts(w, width), parts(h, height));
        let (width, height) = (width.min(w), height.min(h));
        let step = |n: usize, whole: f64, sheet: f64| {
            if n > 1 { (whole - sheet) / (n - 1) as f64 } else { 0.0 }
        };
        Cut { columns, rows, width, height, step: (step(columns, w, width), step(rows, h, height)) }
    }

    fn sheet(
        &mut self,
        figure: &Figure,
        drawing: &Drawing,
        group: usize,
        cut: &Cut,
        (column, row): (usize, usize),
        (n, total): (usize, usize),
    ) -> Strip {
        let line = 1.5 * self.theme.body.leading;
        let (dx, dy) = cut.origin(column, row);
        let words = format!("Sheet {n} of {total}: row {}, column {}", row + 1, column + 1);
        let title = self.element(Tag::Paragraph, group);
        let style = self.small_style();
        let mut strip = Strip::default();
        let width = cut.width.min(self.area().width);
        for s in self.set(&[Inline::Text(words.clone())], style, title, width) {
            let y = strip.height;
            strip.absorb(s, 0.0, y);
        }
        strip.height = strip.height.max(line);
        let top = strip.height;
        let owner = self.element(Tag::Figure, group);
        self.elements[owner].alt = Some(format!("{} ({words})", figure.alt));
        // Where the sheet is wider than the text it reaches into both margins alike.
        let x = (width - cut.width) / 2.0;
        let window = Area { x, y: top, width: cut.width, height: cut.height };
        strip.pins.push(Pin::Figure(owner, window));
        for mut item in self.marks(drawing, owner, MM) {
            item.draw.shift(x - dx, top - dy);
            let seen = item.draw.area().is_none_or(|a| meets(a, window));
            if seen {
                item.clip = Some(window);
                strip.items.push(item);
            }
        }
        self.joins(cut, (column, row), window, &mut strip);
        strip.height = top + cut.height;
        strip
    }

    /// Dashed lines where the next sheet's edge comes to lie, with crosses to align by.
    fn joins(&self, cut: &Cut, (column, row): (usize, usize), window: Area, strip: &mut Strip) {
        let Area { x, y, width, height } = window;
        let mut pen = self.pen(0.5, true);
        pen.dash = vec![4.0, 3.0];
        let mut marks = Vec::new();
        let (half, half_down) = cut.half_overlap();
        let mut vertical = |at: f64| {
            marks.push(Shape::line((at, y), (at, y + height), pen.clone()));
            for part in [0.25, 0.75] {
                marks.extend(cross(at, y + part * height, self.pen(0.6, true)));
            }
        };
        if column > 0 {
            vertical(x + half);
        }
        if column + 1 < cut.columns {
            vertical(x + width - half);
        }
        let mut level = |at: f64| {
            marks.push(Shape::line((x, at), (x + width, at), pen.clone()));
            for part in [0.25, 0.75] {
                marks.extend(cross(x + part * width, at, self.pen(0.6, true)));
            }
        };
        if row > 0 {
            level(y + half_down);
        }
        if row + 1 < cut.rows {
            level(y + height - half_down);
        }
        strip.items.extend(marks.into_iter().map(|m| self.ornament(m)));
    }
}

/// How a drawing is cut into sheets, in points.
struct Cut {
    columns: usize,
    rows: usize,
    /// Of one sheet's window.
    width: f64,
    height: f64,
    /// From one window to the next: evenly shared out, so that all overlap alike.
    step: (f64, f64),
}

impl Cut {
    /// Where a sheet's window begins in the drawing.
    fn origin(&self, column: usize, row: usize) -> (f64, f64) {
        (self.step.0 * column as f64, self.step.1 * row as f64)
    }

    /// Half of what two neighbours share, across and down.
    fn half_overlap(&self) -> (f64, f64) {
        ((self.width - self.step.0) / 2.0, (self.height - self.step.1) / 2.0)
    }
}

fn cross(x: f64, y: f64, pen: Pen) -> [Shape; 2] {
    let r = 2.5 * MM;
    [Shape::line((x - r, y), (x + r, y), pen.clone()), Shape::line((x, y - r), (x, y + r), pen)]
}

fn meets(a: Area, b: Area) -> bool {
    a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height
}

/// A drawing turned clockwise by a quarter.
fn turned(drawing: &Drawing) -> Drawing {
    let h = drawing.height;
    let segment = |s: &Segment| match *s {
        Segment::Move(x, y) => Segment::Move(h - y, x),
        Segment::Line(x, y) => Segment::Line(h - y, x),
        Segment::Curve([a, b, c, d, e, f]) => Segment::Curve([h - b, a, h - d, c, h - f, e]),
        Segment::Close => Segment::Close,
    };
    let mark = |mark: &Mark| match mark {
        Mark::Path(path) => {
            let segments = path.segments.iter().map(segment).collect();
            Mark::Path(Path { segments, ..path.clone() })
        }
        Mark::Label(label) => {
            let at = (h - label.at.1, label.at.0);
            Mark::Label(Label { at, turn: label.turn + 90.0, ..label.clone() })
        }
    };
    Drawing {
        width: drawing.height,
        height: drawing.width,
        marks: drawing.marks.iter().map(mark).collect(),
    }
}
