//! The document as one self-contained, accessible HTML file.

use super::svg;
use crate::booklet::document::*;
use base64::Engine;
use std::fmt::Write;

const STYLE: &str = include_str!("style.css");

/// The whole document as one HTML file; pictures are embedded.
pub fn html(doc: &Document) -> String {
    let m = &doc.meta;
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"author\" content=\"{}\">\n<meta name=\"description\" content=\"{}\">\n\
         <title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n",
        escape(&m.language),
        escape(&m.author),
        escape(&m.subject),
        escape(&m.title)
    );
    let pen = Pen { doc };
    pen.blocks(&doc.blocks, &mut out);
    let _ = write!(
        out,
        "</main>\n<footer><p>{}</p></footer>\n</body>\n</html>\n",
        escape(&m.running_foot)
    );
    out
}

/// Characters that mean something in HTML and XML, made harmless.
pub(super) fn escape(s: &str) -> String {
    let mut out = String::with_capacity(s.len());
    for c in s.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

struct Pen<'a> {
    doc: &'a Document,
}

impl Pen<'_> {
    fn blocks(&self, list: &[Block], out: &mut String) {
        for b in list {
            self.block(b, out);
        }
    }

    fn block(&self, b: &Block, out: &mut String) {
        match b {
            Block::Cover(c) => self.cover(c, out),
            Block::Heading(h) => heading(h, out),
            Block::Paragraph(p) => {
                let class = match p.kind {
                    ParagraphKind::Body => "",
                    ParagraphKind::Lead => " class=\"lead\"",
                    ParagraphKind::Note => " class=\"note\"",
                    ParagraphKind::Small => " class=\"small\"",
                };
                let _ = writeln!(out, "<p{class}>{}</p>", inline(&p.text));
            }
            Block::List(l) => self.list(l, out),
            Block::Rounds(r) => rounds(r, out),
            Block::Sized(s) => self.blocks(&s.brackets, out),
            Block::Table(t) => table(t, out),
            Block::Figure(f) => self.figure(f, out),
            Block::Columns { blocks, .. } | Block::Keep(blocks) => self.blocks(blocks, out),
            Block::Aside(a) => {
                let _ = writeln!(out, "<aside><p><strong>{}</strong></p>", inline(&a.title));
                self.blocks(&a.blocks, out);
                out.push_str("</aside>\n");
            }
            Block::Form(fields) => {
                out.push_str("<dl class=\"form\">\n");
                for f in fields {
                    let unit = f.unit.as_deref().map(escape).unwrap_or_default();
                    let _ = writeln!(out, "<dt>{}</dt><dd>{unit}</dd>", inline(&f.label));
                }
                out.push_str("</dl>\n");
            }
            Block::Contents => self.contents(out),
            Block::PageBreak => {}
        }
    }

    fn contents(&self, out: &mut String) {
        out.push_str("<nav aria-label=\"Contents\"><ul>\n");
        for b in &self.doc.blocks {
            if let Block::Heading(h) = b
                && h.listed
                && h.level == 1
                && let Some(a) = &h.anchor
            {
                let _ =
                    writeln!(out, "<li><a href=\"#{}\">{}</a></li>", escape(a), inline(&h.text));
            }
        }
        out.push_str("</ul></nav>\n");
    }

    fn cover(&self, c: &Cover, out: &mut String) {
        let _ = write!(
            out,
            "<header>\n<h1>{}</h1>\n<p class=\"by\">{}</p>\n<p class=\"lead\">{}</p>\n",
            escape(&c.title),
            escape(&c.by),
            inline(&c.about)
        );
        if let Some(photo) = &c.photo {
            self.figure(photo, out);
        }
        out.push_str("<dl>\n");
        for (name, value) in &c.facts {
            let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escape(name), inline(value));
        }
        let _ = writeln!(out, "</dl>\n<p class=\"small\">{}</p>\n</header>", inline(&c.rights));
    }

    fn list(&self, l: &List, out: &mut String) {
        let (open, close) = match l.marker {
            Marker::Number => ("<ol>", "</ol>"),
            Marker::Bullet => ("<ul>", "</ul>"),
            Marker::Tick => ("<ul class=\"tick\">", "</ul>"),
            Marker::Plain => ("<ul class=\"plain\">", "</ul>"),
        };
        let _ = writeln!(out, "{open}");
        for item in &l.items {
            out.push_str("<li>");
            self.blocks(item, out);
            out.push_str("</li>\n");
        }
        let _ = writeln!(out, "{close}");
    }

    fn figure(&self, f: &Figure, out: &mut String) {
        out.push_str("<figure>");
        match &f.art {
            Art::Picture(i) => {
                if let Some(p) = self.doc.pictures.get(*i) {
                    let kind = if p.bytes.starts_with(&[0x89, b'P']) { "png" } else { "jpeg" };
                    let data = base64::engine::general_purpose::STANDARD.encode(&p.bytes);
                    let _ = write!(
                        out,
                        "<img alt=\"{}\" src=\"data:image/{kind};base64,{data}\">",
                        escape(&f.alt)
                    );
                }
            }
            Art::Drawing(d) => out.push_str(&svg(d, &f.alt)),
        }
        if let Some(c) = &f.caption {
            let _ = write!(out, "<figcaption>{}</figcaption>", inline(c));
        }
        out.push_str("</figure>\n");
    }
}

fn heading(h: &Heading, out: &mut String) {
    // The title is the page's only h1, so chapters begin one level down.
    let level = h.level.saturating_add(1).clamp(2, 6);
    let id = h.anchor.as_ref().map(|a| format!(" id=\"{}\"", escape(a))).unwrap_or_default();
    let _ = writeln!(out, "<h{level}{id}>{}</h{level}>", inline(&h.text));
}

fn rounds(list: &[Round], out: &mut String) {
    out.push_str("<ul class=\"rounds\">\n");
    for r in list {
        out.push_str(if r.tick { "<li class=\"tick\">" } else { "<li>" });
        if !r.label.is_empty() {
            let _ = write!(out, "<strong>{}:</strong> ", inline(&r.label));
        }
        out.push_str(&inline(&r.body));
        if let Some(c) = &r.count {
            let _ = write!(out, " <span class=\"count\">{}</span>", inline(c));
        }
        if let Some(n) = &r.note {
            let _ = write!(out, "<br><span class=\"small\">{}</span>", inline(n));
        }
        out.push_str("</li>\n");
    }
    out.push_str("</ul>\n");
}

fn table(t: &Table, out: &mut String) {
    out.push_str("<div class=\"table\"><table>\n");
    if let Some(c) = &t.caption {
        let _ = writeln!(out, "<caption>{}</caption>", inline(c));
    }
    out.push_str("<thead>\n");
    for row in &t.head {
        row_of(row, t, true, out);
    }
    out.push_str("</thead>\n<tbody>\n");
    for row in &t.body {
        row_of(row, t, false, out);
    }
    out.push_str("</tbody></table></div>\n");
    for n in &t.notes {
        let _ = writeln!(out, "<p class=\"small\">{}</p>", inline(n));
    }
}

fn row_of(row: &[Cell], t: &Table, head: bool, out: &mut String) {
    out.push_str("<tr>");
    let mut column = 0usize;
    for (i, c) in row.iter().enumerate() {
        let (tag, scope) = match (head, t.row_heads && i == 0) {
            (true, _) => ("th", " scope=\"col\""),
            (false, true) => ("th", " scope=\"row\""),
            (false, false) => ("td", ""),
        };
        let align = match t.columns.get(column).map(|c| c.align) {
            Some(Align::Right) => " class=\"right\"",
            Some(Align::Centre) => " class=\"centre\"",
            _ => "",
        };
        let span = if c.span > 1 { format!(" colspan=\"{}\"", c.span) } else { String::new() };
        let _ = write!(out, "<{tag}{scope}{align}{span}>{}</{tag}>", inline(&c.text));
        column += usize::from(c.span);
    }
    out.push_str("</tr>\n");
}

fn inline(text: &[Inline]) -> String {
    let mut out = String::new();
    for piece in text {
        let _ = match piece {
            Inline::Text(t) => write!(out, "{}", escape(t)),
            Inline::Strong(t) => write!(out, "<strong>{}</strong>", inline(t)),
            Inline::Emphasis(t) => write!(out, "<em>{}</em>", inline(t)),
            Inline::Keep(t) => write!(out, "<span class=\"keep\">{}</span>", inline(t)),
            Inline::Abbreviation { text, expansion } => {
                write!(out, "<abbr title=\"{}\">{}</abbr>", escape(expansion), escape(text))
            }
            Inline::Link { target: Target::Anchor(a), content } => {
                write!(out, "<a href=\"#{}\">{}</a>", escape(a), inline(content))
            }
            Inline::Link { target: Target::Uri(u), content } => {
                write!(out, "<a href=\"{}\">{}</a>", escape(u), inline(content))
            }
            Inline::Break => write!(out, "<br>"),
        };
    }
    out
}
