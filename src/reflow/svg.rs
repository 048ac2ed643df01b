//! A drawing as SVG, in millimetres.

use super::html::escape;
use crate::figure::{Anchor, Drawing, Ink, Mark, Path, Segment};
use std::fmt::Write;

/// The drawing as an SVG element with `alt` as its title. Inks become the CSS classes
/// `ink-text`, `ink-accent`, `ink-quiet`, `ink-tint`, `ink-paper` with plain colours set.
pub fn svg(d: &Drawing, alt: &str) -> String {
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{w}mm\" height=\"{h}mm\" \
         viewBox=\"0 0 {w} {h}\"><title>{t}</title>",
        w = num(d.width),
        h = num(d.height),
        t = escape(alt)
    );
    for m in &d.marks {
        match m {
            Mark::Path(p) => path(p, &mut out),
            Mark::Label(l) => {
                let anchor = match l.anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                let (x, y) = (num(l.at.0), num(l.at.1));
                let _ = write!(
                    out,
                    "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\"",
                    num(l.size * 25.4 / 72.0),
                    colour(l.ink)
                );
                if l.strong {
                    out.push_str(" font-weight=\"600\"");
                }
                if l.turn != 0.0 {
                    let _ = write!(out, " transform=\"rotate({} {x} {y})\"", num(l.turn));
                }
                let _ = write!(out, ">{}</text>", escape(&l.text));
            }
        }
    }
    out.push_str("</svg>");
    out
}

fn path(p: &Path, out: &mut String) {
    let mut d = String::new();
    for s in &p.segments {
        let _ = match s {
            Segment::Move(x, y) => write!(d, "M{} {}", num(*x), num(*y)),
            Segment::Line(x, y) => write!(d, "L{} {}", num(*x), num(*y)),
            Segment::Curve(c) => {
                let c: Vec<String> = c.iter().map(|v| num(*v)).collect();
                write!(d, "C{}", c.join(" "))
            }
            Segment::Close => write!(d, "Z"),
        };
    }
    let _ = write!(out, "<path d=\"{d}\" fill=\"{}\"", p.fill.map_or("none", colour));
    if let Some(s) = &p.stroke {
        let _ = write!(out, " stroke=\"{}\" stroke-width=\"{}\"", colour(s.ink), num(s.width));
        if !s.dash.is_empty() {
            let dash: Vec<String> = s.dash.iter().map(|v| num(*v)).collect();
            let _ = write!(out, " stroke-dasharray=\"{}\"", dash.join(" "));
        }
    }
    out.push_str("/>");
}

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Text => "#1f1d1a",
        Ink::Accent => "#1f5a63",
        Ink::Quiet => "#5c5850",
        Ink::Tint => "#eeeae2",
        Ink::Paper => "#ffffff",
    }
}

/// Millimetres to the thousandth, without trailing noughts.
fn num(v: f64) -> String {
    let s = format!("{v:.3}");
    s.trim_end_matches('0').trim_end_matches('.').to_owned()
}
