//! Strips: full-width slices of a block that no page break cuts, and how they hold together.

use super::page::{Area, Item, LinkArea};

/// A page break that must not be.
pub const NEVER: u32 = u32::MAX;

/// A slice of a block. Marks count from its upper left corner.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    /// Its height.
    pub height: f64,
    /// Least space above it, dropped at the top of a page.
    pub before: f64,
    /// Least space below it.
    pub after: f64,
    /// How far down its first baseline stands.
    pub baseline: f64,
    /// Marks.
    pub items: Vec<Item>,
    /// Links.
    pub links: Vec<LinkArea>,
    /// How bad a page break before it would be; [`NEVER`] forbids one.
    pub penalty: u32,
    /// A table head to be shown again if a page begins with this strip.
    pub repeat: Option<usize>,
    /// Whether no page break may come after it.
    pub holds_next: bool,
    /// The frame it stands in, and how far right of its own place that frame was moved.
    pub frame: Option<(usize, f64)>,
    /// Not 0: it may be made smaller, down to this share, to fit a page.
    pub elastic: f64,
    /// Whether it starts on the baseline grid.
    pub on_grid: bool,
    /// What must be known of where it comes to stand.
    pub pins: Vec<Pin>,
}

/// Something whose place is noted when its strip is set on a page.
#[derive(Clone, Debug)]
pub enum Pin {
    /// A name that links use.
    Anchor(String),
    /// An entry of the outline, by index.
    Outline(usize),
    /// A figure: its element and box.
    Figure(usize, Area),
    /// A chapter's title, for the running head.
    Chapter(String),
    /// Room for the page number that a line of the contents list refers to: right edge,
    /// baseline, element, turn in the reading order, outline entry.
    Number(f64, f64, usize, u32, usize),
}

impl Strip {
    /// Moves all marks.
    pub fn shift(&mut self, dx: f64, dy: f64) {
        for item in &mut self.items {
            item.draw.shift(dx, dy);
            item.clip = item.clip.map(|c| c.moved(dx, dy));
        }
        for link in &mut self.links {
            link.area = link.area.moved(dx, dy);
        }
        if let Some((_, x)) = &mut self.frame {
            *x += dx;
        }
        for pin in &mut self.pins {
            match pin {
                Pin::Figure(_, area) => *area = area.moved(dx, dy),
                Pin::Number(x, y, ..) => (*x, *y) = (*x + dx, *y + dy),
                Pin::Anchor(_) | Pin::Outline(_) | Pin::Chapter(_) => {}
            }
        }
    }

    /// Makes a figure smaller; its left edge stays.
    pub fn shrink(&mut self, by: f64) {
        let left = self.pins.iter().find_map(|pin| match pin {
            Pin::Figure(_, area) => Some(area.x),
            _ => None,
        });
        let left = left.unwrap_or(0.0);
        self.shift(-left, 0.0);
        self.items.iter_mut().for_each(|item| item.draw.scale(by));
        for pin in &mut self.pins {
            if let Pin::Figure(_, area) = pin {
                *area = area.scaled(by);
            }
        }
        self.height *= by;
        self.shift(left, 0.0);
    }

    /// Takes in another strip that begins `down` from this one's top.
    pub fn absorb(&mut self, mut other: Strip, right: f64, down: f64) {
        other.shift(right, down);
        self.items.append(&mut other.items);
        self.links.append(&mut other.links);
        self.pins.append(&mut other.pins);
        self.height = self.height.max(down + other.height);
    }
}

/// What flows down the pages.
#[derive(Clone, Debug)]
pub enum Node {
    /// A strip over the whole width.
    Strip(Strip),
    /// Strips side by side, balanced.
    Columns(Columns),
    /// What follows begins on a new page.
    NewPage,
}

/// Strips set in columns of equal width.
#[derive(Clone, Debug)]
pub struct Columns {
    /// How many.
    pub count: usize,
    /// From the left edge of one to the left edge of the next.
    pub step: f64,
    /// Their strips, in reading order.
    pub strips: Vec<Strip>,
    /// Least space above.
    pub before: f64,
    /// Least space below.
    pub after: f64,
    /// Height of what follows and must stand on the page that they end on.
    pub tail: f64,
}

/// The box behind a note that is set apart.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    /// Width.
    pub width: f64,
    /// Space between its edges and what stands in it, above and below.
    pub pad: f64,
}

/// Height of strips one below another, with the spaces between them but not around them.
pub fn stacked(strips: &[Strip]) -> f64 {
    let mut sum = 0.0;
    let mut after = None::<f64>;
    for strip in strips {
        sum += after.map_or(0.0, |a| a.max(strip.before)) + strip.height;
        after = Some(strip.after);
    }
    sum
}

/// Piles strips into one that no page break cuts.
pub fn pile(strips: Vec<Strip>) -> Strip {
    let mut whole = Strip::default();
    let mut y = 0.0;
    let mut last_after = None::<f64>;
    for (i, strip) in strips.into_iter().enumerate() {
        if i == 0 {
            whole.before = strip.before;
            whole.baseline = strip.baseline;
            whole.penalty = strip.penalty;
            whole.on_grid = strip.on_grid;
        }
        y += last_after.map_or(0.0, |a| a.max(strip.before));
        let (height, after) = (strip.height, strip.after);
        whole.absorb(strip, 0.0, y);
        y += height;
        whole.height = y;
        whole.after = after;
        last_after = Some(after);
    }
    whole
}
