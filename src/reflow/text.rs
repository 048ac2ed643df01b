//! The document as plain text, 78 columns, for screen readers and terminals.

use super::words;
use crate::booklet::document::*;
use std::fmt::Write;

const WIDTH: usize = 78;

/// The whole document as plain text.
pub fn text(doc: &Document) -> String {
    let mut out = String::new();
    blocks(&doc.blocks, "", &mut out);
    let foot = &doc.meta.running_foot;
    let _ = writeln!(out, "\n{foot}");
    out
}

fn blocks(list: &[Block], indent: &str, out: &mut String) {
    for b in list {
        block(b, indent, out);
    }
}

fn block(b: &Block, indent: &str, out: &mut String) {
    match b {
        Block::Cover(c) => cover(c, out),
        Block::Heading(h) => heading(h, out),
        Block::Paragraph(p) => {
            flow(&words(&p.text), indent, indent, out);
            out.push('\n');
        }
        Block::List(l) => list(l, indent, out),
        Block::Rounds(r) => rounds(r, indent, out),
        Block::Sized(s) => blocks(&s.brackets, indent, out),
        Block::Table(t) => table(t, indent, out),
        Block::Figure(f) => figure(f, indent, out),
        Block::Columns { blocks: b, .. } | Block::Keep(b) => blocks(b, indent, out),
        Block::Aside(a) => {
            let _ = writeln!(out, "{indent}| {}", words(&a.title));
            blocks(&a.blocks, &format!("{indent}| "), out);
        }
        Block::Form(fields) => {
            for f in fields {
                let unit = f.unit.as_deref().unwrap_or("");
                let _ = writeln!(out, "{indent}{}: ____________ {unit}", words(&f.label));
            }
            out.push('\n');
        }
        Block::PageBreak | Block::Contents => {}
    }
}

fn cover(c: &Cover, out: &mut String) {
    let _ = writeln!(out, "{}\n{}\nby {}\n", c.title, "=".repeat(c.title.chars().count()), c.by);
    flow(&words(&c.about), "", "", out);
    out.push('\n');
    if let Some(photo) = &c.photo {
        figure(photo, "", out);
    }
    for (name, value) in &c.facts {
        flow(&format!("{name}: {}", words(value)), "", "  ", out);
    }
    out.push('\n');
    flow(&words(&c.rights), "", "", out);
    out.push('\n');
}

fn heading(h: &Heading, out: &mut String) {
    let line = words(&h.text);
    let _ = writeln!(out, "{line}");
    let rule = match h.level {
        1 => "=",
        2 => "-",
        _ => "",
    };
    if !rule.is_empty() {
        let _ = writeln!(out, "{}", rule.repeat(line.chars().count()));
    }
    out.push('\n');
}

fn list(l: &List, indent: &str, out: &mut String) {
    for (i, item) in l.items.iter().enumerate() {
        let mark = match l.marker {
            Marker::Bullet => "- ".to_owned(),
            Marker::Number => format!("{}. ", i + 1),
            Marker::Tick => "[ ] ".to_owned(),
            Marker::Plain => String::new(),
        };
        let deeper = format!("{indent}{}", " ".repeat(mark.chars().count()));
        let mut inner = String::new();
        blocks(item, &deeper, &mut inner);
        let body = inner.strip_prefix(deeper.as_str()).unwrap_or(&inner);
        let _ = writeln!(out, "{indent}{mark}{}", body.trim_end());
    }
    out.push('\n');
}

fn rounds(list: &[Round], indent: &str, out: &mut String) {
    for r in list {
        let mut line = String::new();
        if r.tick {
            line.push_str("[ ] ");
        }
        let label = words(&r.label);
        if !label.is_empty() {
            let _ = write!(line, "{label}: ");
        }
        line.push_str(&words(&r.body));
        if let Some(count) = &r.count {
            let _ = write!(line, " {}", words(count));
        }
        flow(&line, indent, &format!("{indent}    "), out);
        let mut boxes = usize::from(r.counter);
        while boxes > 0 {
            let here = boxes.min(20);
            let _ = writeln!(out, "{indent}    {}", "[ ]".repeat(here));
            boxes -= here;
        }
        if let Some(note) = &r.note {
            flow(&words(note), &format!("{indent}    "), &format!("{indent}    "), out);
        }
    }
    out.push('\n');
}

/// A table as aligned columns; where that is too wide, one short list a row, so that no
/// line runs over.
fn table(t: &Table, indent: &str, out: &mut String) {
    if let Some(c) = &t.caption {
        flow(&words(c), indent, indent, out);
    }
    let rows: Vec<Vec<String>> = t.head.iter().chain(&t.body).map(|r| spread(r)).collect();
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide: Vec<usize> = (0..columns)
        .map(|c| rows.iter().filter_map(|r| r.get(c)).map(|s| s.chars().count()).max().unwrap_or(0))
        .collect();
    let total = wide.iter().sum::<usize>() + 2 * columns.saturating_sub(1) + indent.len();
    if total <= WIDTH {
        for (n, row) in rows.iter().enumerate() {
            let line: Vec<String> =
                row.iter().zip(&wide).map(|(s, w)| format!("{s:w$}", w = *w)).collect();
            let _ = writeln!(out, "{indent}{}", line.join("  ").trim_end());
            if n + 1 == t.head.len() {
                let rules: Vec<String> = wide.iter().map(|w| "-".repeat(*w)).collect();
                let _ = writeln!(out, "{indent}{}", rules.join("  "));
            }
        }
    } else {
        row_by_row(t, indent, out);
    }
    for n in &t.notes {
        flow(&words(n), indent, indent, out);
    }
    out.push('\n');
}

fn row_by_row(t: &Table, indent: &str, out: &mut String) {
    let heads: Vec<String> = t.head.last().map(|r| spread(r)).unwrap_or_default();
    for row in &t.body {
        let cells = spread(row);
        let _ = writeln!(out, "{indent}{}", cells.first().map_or("", String::as_str));
        for (i, cell) in cells.iter().enumerate().skip(1) {
            let head = heads.get(i).map_or("", String::as_str);
            let line = if head.is_empty() { cell.clone() } else { format!("{head}: {cell}") };
            flow(&line, &format!("{indent}  "), &format!("{indent}    "), out);
        }
    }
}

/// The cells' words, a spanning cell followed by empty ones.
fn spread(row: &[Cell]) -> Vec<String> {
    let mut out = Vec::new();
    for cell in row {
        out.push(words(&cell.text).replace('\n', " "));
        out.extend((1..cell.span).map(|_| String::new()));
    }
    out
}

fn figure(f: &Figure, indent: &str, out: &mut String) {
    flow(&format!("[Picture: {}]", f.alt), indent, indent, out);
    if let Some(c) = &f.caption {
        flow(&words(c), indent, indent, out);
    }
    out.push('\n');
}

/// Words broken at spaces; a no-break space keeps its neighbours together.
fn flow(words: &str, first: &str, rest: &str, out: &mut String) {
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .break_words(false);
    for line in words.lines() {
        for l in textwrap::wrap(line, &options) {
            let _ = writeln!(out, "{}", l.trim_end());
        }
    }
}
