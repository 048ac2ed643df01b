//! How a table fits its room: its columns measured, then wrapped, shrunk, turned or parted.

use super::composer::{Composer, Room};
use super::inline::Fragment;
use super::theme::{Measure, Voice};
use crate::booklet::document::{Align, Cell, Column, Inline, Table};
use std::borrow::Cow;

/// Between two columns, in ems of the table's type.
const GAP: f64 = 1.1;
/// The same where a table stands beside itself.
const SMALL_GAP: f64 = 0.7;
/// Columns up to this many ems are not wrapped: they hold numbers.
const NARROW: f64 = 6.0;

/// Body cells up to this many ems are figures and their units, not sentences.
const FIGURES: f64 = 15.0;
/// The most columns of pages that a narrow table runs in.
const MOST_COLUMNS: usize = 3;
/// A table of so many rows is long.
const MANY_ROWS: usize = 12;
/// How far type may shrink so that heads need not wrap, or so that a table turns.
const SLIGHTLY: f64 = 0.9;

/// Least and natural width of a column, in ems.
#[derive(Clone, Copy, Debug, Default)]
struct Extent {
    least: f64,
    natural: f64,
}

/// The columns of a table, and the gap between two of them in ems.
struct Extents {
    columns: Vec<Extent>,
    gap: f64,
}

impl Extents {
    fn of(&self, column: usize) -> Extent {
        self.columns.get(column).copied().unwrap_or_default()
    }
}

/// A cell's words, measured in ems.
struct Measured {
    /// Width, width of the space after it, whether the line ends there.
    words: Vec<(f64, f64, bool)>,
    span: usize,
    head: bool,
}

impl Measured {
    /// Width on one line.
    fn natural(&self) -> f64 {
        let (mut natural, mut line) = (0.0_f64, 0.0);
        for (width, space, ends) in &self.words {
            line += width;
            natural = natural.max(line);
            line = if *ends { 0.0 } else { line + space };
        }
        natural
    }

    /// The widest of its words; numbers are never wrapped, heads only if they may be.
    fn least(&self, wrap_heads: bool) -> f64 {
        let natural = self.natural();
        if natural <= NARROW && !(wrap_heads && self.head) {
            return natural;
        }
        self.words.iter().map(|w| w.0).fold(0.0, f64::max)
    }

    /// How many lines its words take in this width.
    fn lines(&self, width: f64) -> usize {
        let (mut lines, mut line, mut fresh) = (1, 0.0, true);
        for (i, (word, space, ends)) in self.words.iter().enumerate() {
            if !fresh && line + word > width + 0.01 {
                lines += 1;
                line = 0.0;
            }
            line += word + space;
            fresh = *ends;
            if *ends && i + 1 < self.words.len() {
                lines += 1;
                line = 0.0;
            }
        }
        lines
    }
}

/// A table as it will be set: which columns, how wide, how large the type.
pub struct Plan<'t> {
    /// The table, or the table turned.
    pub table: Cow<'t, Table>,
    /// Its columns in groups, one group below another.
    pub parts: Vec<Part>,
    /// Type size in points.
    pub size: f64,
    /// How many times it stands beside itself on a page, its rows running on.
    pub beside: usize,
}

/// Columns set side by side.
pub struct Part {
    /// Which of the table's columns.
    columns: Vec<usize>,
    widths: Vec<f64>,
    aligns: Vec<Align>,
    /// Left edge.
    pub x: f64,
    gap: f64,
}

/// Where a cell stands.
pub struct CellPlace {
    /// Left edge.
    pub x: f64,
    /// Width.
    pub width: f64,
    /// How many columns of this part it covers.
    pub columns: usize,
    /// How its words align.
    pub align: Align,
}

impl Part {
    /// From the first column's left edge to the last one's right edge.
    pub fn width(&self) -> f64 {
        self.widths.iter().sum::<f64>() + self.gap * self.widths.len().saturating_sub(1) as f64
    }

    /// Where the cell over the table's columns `from .. from + span` stands, if here.
    pub fn within(&self, from: usize, span: usize) -> Option<CellPlace> {
        let here = |c: &usize| (from..from + span).contains(c);
        let first = self.columns.iter().position(here)?;
        let n = self.columns.iter().filter(|c| here(c)).count();
        let before: f64 = self.widths.iter().take(first).map(|w| w + self.gap).sum();
        let inside: f64 = self.widths.iter().skip(first).take(n).map(|w| w + self.gap).sum();
        let align = match self.aligns.get(first) {
            Some(_) if n > 1 => Align::Centre,
            Some(align) => *align,
            None => Align::Left,
        };
        Some(CellPlace { x: self.x + before, width: inside - self.gap, columns: n, align })
    }
}

impl Composer<'_> {
    /// How a table is set in this room.
    pub fn plan<'t>(&mut self, table: &'t Table, room: Room) -> Plan<'t> {
        let normal = self.theme.table.size;
        let least = self.theme.table_least.min(normal);
        let rows = self.measured(table);
        let all: Vec<usize> = (0..table.columns.len()).collect();
        if let Some(plan) = self.beside_itself(table, &rows, room) {
            return plan;
        }
        let ways = [(false, SLIGHTLY * normal), (true, least), (false, least)];
        let whole = ways.into_iter().find_map(|(wrap, least)| {
            let extents = extents(table, &rows, wrap, GAP);
            let size = fitting(&extents, &all, room.width, normal, least.min(normal))?;
            Some((spread(table, &extents, all.clone(), room, size), size))
        });
        if let Some((part, size)) = whole {
            let lines = height(&rows, &part, size);
            if most_lines(&rows, &part, size) > 2
                && let Some(turned) = self.in_groups(table, &rows, room)
                && turned.1 < lines
            {
                return turned.0;
            }
            return Plan { table: Cow::Borrowed(table), parts: vec![part], size, beside: 1 };
        }
        if let Some(turned) = turned(table).filter(|t| t.columns.len() < table.columns.len()) {
            let extents = extents(&turned, &self.measured(&turned), false, GAP);
            let all: Vec<usize> = (0..turned.columns.len()).collect();
            if let Some(size) = fitting(&extents, &all, room.width, normal, SLIGHTLY * normal) {
                let part = spread(&turned, &extents, all, room, size);
                return Plan { table: Cow::Owned(turned), parts: vec![part], size, beside: 1 };
            }
        }
        let size = (0.95 * normal).max(least);
        let extents = extents(table, &rows, false, GAP);
        let groups = grouped(table, &extents, room.width, size);
        let set = |room: Room| -> Vec<Part> {
            groups.iter().map(|g| spread(table, &extents, g.clone(), room, size)).collect()
        };
        let mut parts = set(room);
        if parts.iter().any(|p| p.x == 0.0) {
            // All groups begin at one edge, or the row heads would not line up.
            parts = set(Room { hang: 0.0, ..room });
        }
        Plan { table: Cow::Borrowed(table), parts, size, beside: 1 }
    }

    /// A long table of figures in narrow columns: it runs on beside itself.
    fn beside_itself<'t>(
        &self,
        table: &'t Table,
        rows: &[Vec<Measured>],
        room: Room,
    ) -> Option<Plan<'t>> {
        let (normal, area) = (self.theme.table, self.area());
        let long = table.body.len() >= MANY_ROWS;
        if !long || table.head.is_empty() || room.width < area.width - 0.1 {
            return None;
        }
        let extents = extents(table, rows, true, SMALL_GAP);
        let all: Vec<usize> = (0..table.columns.len()).collect();
        let gutter = self.gutter();
        (2..=MOST_COLUMNS).rev().find_map(|beside| {
            let width = (room.width + gutter) / beside as f64 - gutter;
            let inner = Room { width, hang: 0.0, ..room };
            let least = SLIGHTLY * normal.size;
            let size = fitting(&extents, &all, width, normal.size, least)?;
            let part = spread(table, &extents, all.clone(), inner, size);
            let fits = rows.iter().all(|row| {
                let most = if row.iter().any(|c| c.head) { 2 } else { 1 };
                row_lines(row, &part, size) <= most
            });
            let table = Cow::Borrowed(table);
            fits.then_some(Plan { table, parts: vec![part], size, beside })
        })
    }

    /// A table of figures turned, a few of its rows to a group, none of its cells on more
    /// than two lines; and how many lines that takes.
    fn in_groups(
        &mut self,
        table: &Table,
        rows: &[Vec<Measured>],
        room: Room,
    ) -> Option<(Plan<'static>, usize)> {
        if rows.iter().flatten().any(|c| c.natural() > FIGURES) {
            return None;
        }
        let turned = turned(table)?;
        let rows = self.measured(&turned);
        let extents = extents(&turned, &rows, false, GAP);
        let size = self.theme.table.size;
        let n = turned.columns.len();
        let rest: Vec<usize> = (1..n).collect();
        let room = Room { hang: 0.0, ..room };
        let all: Vec<usize> = (0..n).collect();
        for each in (1..n).rev() {
            let groups = rest.chunks(rest.len().div_ceil(rest.len().div_ceil(each)));
            let with = |g: &[usize]| all.iter().take(1).chain(g).copied().collect::<Vec<_>>();
            let parts: Vec<Part> = groups
                .map(with)
                .take_while(|g| least_ems(&extents, g) * size <= room.width)
                .map(|g| spread(&turned, &extents, g, room, size))
                .collect();
            let held: usize = parts.iter().map(|p| p.columns.len() - 1).sum();
            if held == rest.len() && parts.iter().all(|p| most_lines(&rows, p, size) <= 2) {
                let lines = parts.iter().map(|p| height(&rows, p, size) + 1).sum();
                let table = Cow::Owned(turned);
                return Some((Plan { table, parts, size, beside: 1 }, lines));
            }
        }
        None
    }

    /// Every cell of a table, head rows first, in ems.
    fn measured(&mut self, table: &Table) -> Vec<Vec<Measured>> {
        let mark = self.elements.len();
        let rows =
            table.head.iter().map(|r| (r, true)).chain(table.body.iter().map(|r| (r, false)));
        let each = rows.map(|(row, head)| {
            let cell = |cell: &Cell| {
                let fragments = self.cell_fragments(&cell.text, head, 0, 1.0);
                let words = fragments.iter().map(|f| (f.width, f.space_width, f.ends_line));
                Measured { words: words.collect(), span: usize::from(cell.span.max(1)), head }
            };
            row.iter().map(cell).collect()
        });
        let all = each.collect();
        self.elements.truncate(mark);
        self.goes.split_off(&mark);
        all
    }

    /// A cell's words under `owner`.
    pub fn cell_fragments(
        &mut self,
        text: &[Inline],
        head: bool,
        owner: usize,
        size: f64,
    ) -> Vec<Fragment> {
        let measure = Measure { size, leading: size };
        let voice = if head { Voice::Strong } else { Voice::Text };
        let style = self.style(voice, measure);
        self.fragments(text, style, owner)
    }
}

/// How wide each column must and would like to be.
fn extents(table: &Table, rows: &[Vec<Measured>], wrap_heads: bool, gap: f64) -> Extents {
    let n = table.columns.len();
    let mut extents = vec![Extent::default(); n];
    let mut wide = Vec::new();
    for row in rows {
        let mut c = 0;
        for cell in row {
            let span = cell.span.min(n.saturating_sub(c));
            if span == 0 {
                break;
            }
            let least = cell.least(wrap_heads);
            // Where heads wrap, the figures below them share the room out.
            let natural = if wrap_heads && cell.head { least } else { cell.natural() };
            if span == 1 {
                let e = &mut extents[c];
                e.least = e.least.max(least);
                e.natural = e.natural.max(natural);
            } else {
                wide.push((c, span, least));
            }
            c += span;
        }
    }
    for (c, span, least) in wide {
        let within = &mut extents[c..c + span];
        let gaps = gap * (span - 1) as f64;
        let have: f64 = within.iter().map(|e| e.least).sum::<f64>() + gaps;
        let more = (least - have).max(0.0) / span as f64;
        for e in within {
            e.least += more;
            e.natural = e.natural.max(e.least);
        }
    }
    Extents { columns: extents, gap }
}

/// How many lines a row takes in these columns.
fn row_lines(row: &[Measured], part: &Part, size: f64) -> usize {
    let mut c = 0;
    let mut lines = 1;
    for cell in row {
        if let Some(place) = part.within(c, cell.span) {
            lines = lines.max(cell.lines(place.width / size));
        }
        c += cell.span;
    }
    lines
}

/// How many lines the rows take in these columns.
fn height(rows: &[Vec<Measured>], part: &Part, size: f64) -> usize {
    rows.iter().map(|r| row_lines(r, part, size)).sum()
}

/// The most lines that one row takes.
fn most_lines(rows: &[Vec<Measured>], part: &Part, size: f64) -> usize {
    rows.iter().map(|r| row_lines(r, part, size)).max().unwrap_or(0)
}

/// The largest size, stepping down from `most` to `least`, at which the columns fit.
fn fitting(extents: &Extents, columns: &[usize], width: f64, most: f64, least: f64) -> Option<f64> {
    let ems = least_ems(extents, columns);
    let steps = ((most - least) / 0.5).ceil().max(0.0) as usize;
    let sizes = (0..=steps).map(|i| (most - 0.5 * i as f64).max(least));
    sizes.into_iter().find(|size| ems * size <= width)
}

fn least_ems(extents: &Extents, columns: &[usize]) -> f64 {
    let gaps = extents.gap * columns.len().saturating_sub(1) as f64;
    columns.iter().map(|c| extents.of(*c).least).sum::<f64>() + gaps
}

/// Shares the room out among columns: each what it must have, then by what it lacks.
fn spread(table: &Table, extents: &Extents, columns: Vec<usize>, room: Room, size: f64) -> Part {
    let gap = extents.gap * size;
    let gaps = gap * columns.len().saturating_sub(1) as f64;
    let of = |c: &usize| extents.of(*c);
    let least: f64 = columns.iter().map(|c| of(c).least * size).sum();
    let natural: f64 = columns.iter().map(|c| of(c).natural * size).sum();
    let text = room.width - room.hang;
    let (x, width) = if natural + gaps <= text { (room.hang, text) } else { (0.0, room.width) };
    let spare = (width - gaps - least).max(0.0);
    let lack = natural - least;
    let share = if lack > 0.0 { (spare / lack).min(1.0) } else { 0.0 };
    let mut widths: Vec<f64> = columns
        .iter()
        .map(|c| size * (of(c).least + share * (of(c).natural - of(c).least)))
        .collect();
    // Room to spare opens the columns evenly, but not so far that rows fall apart.
    let left = (width - gaps - widths.iter().sum::<f64>()).max(0.0);
    let more = (left / widths.len().max(1) as f64).min(3.0 * size);
    widths.iter_mut().for_each(|w| *w += more);
    if least > width - gaps && least > 0.0 {
        let squeeze = (width - gaps).max(0.0) / least;
        widths = columns.iter().map(|c| of(c).least * size * squeeze).collect();
    }
    let align = |c: &usize| table.columns.get(*c).map_or(Align::Left, |c| c.align);
    let aligns = columns.iter().map(align).collect();
    Part { columns, widths, aligns, x, gap }
}

/// Columns in groups that each fit, the first column with each if it heads the rows.
fn grouped(table: &Table, extents: &Extents, width: f64, size: f64) -> Vec<Vec<usize>> {
    let n = table.columns.len();
    let heads: Vec<usize> = if table.row_heads && n > 1 { vec![0] } else { Vec::new() };
    let rest: Vec<usize> = (heads.len()..n).collect();
    let with = |part: &[usize]| heads.iter().chain(part).copied().collect::<Vec<usize>>();
    for groups in 2..=rest.len().max(2) {
        let each = rest.len().div_ceil(groups).max(1);
        let parts: Vec<Vec<usize>> = rest.chunks(each).map(with).collect();
        if parts.iter().all(|p| least_ems(extents, p) * size <= width) {
            return parts;
        }
    }
    rest.chunks(1).map(with).collect()
}

/// Rows become columns. Only a table with one head row and no spanning cell can turn.
fn turned(table: &Table) -> Option<Table> {
    let [head] = table.head.as_slice() else { return None };
    let n = table.columns.len();
    let even = |row: &Vec<Cell>| row.len() == n && row.iter().all(|c| c.span <= 1);
    if !table.row_heads || n < 2 || !even(head) || !table.body.iter().all(even) {
        return None;
    }
    let column = |c: usize| -> Option<Vec<Cell>> {
        let rows = std::iter::once(head).chain(&table.body);
        rows.map(|row| row.get(c).cloned()).collect()
    };
    let align = table.columns.get(1).map_or(Align::Left, |c| c.align);
    let columns = std::iter::once(Column { align: Align::Left })
        .chain(std::iter::repeat_n(Column { align }, table.body.len()))
        .collect();
    Some(Table {
        caption: table.caption.clone(),
        columns,
        head: vec![column(0)?],
        body: (1..n).map(column).collect::<Option<_>>()?,
        row_heads: true,
        notes: table.notes.clone(),
    })
}
