//! Two small writers for drawings, and a ruler that reads pixels: none shares code with the
//! library, so that a drawing is judged by what a printer would make of it.
#![allow(dead_code)]

use brimwright::figure::{Anchor, Drawing, Ink, Mark, Path, Segment};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings};
use std::fmt::Write as _;

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Text => "#1a1a1a",
        Ink::Accent => "#7a3b1d",
        Ink::Quiet => "#6b6b6b",
        Ink::Tint => "#efe9e1",
        Ink::Paper => "#ffffff",
    }
}

/// The drawing as SVG, to be looked at.
pub fn svg(d: &Drawing) -> String {
    let (w, h) = (d.width, d.height);
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{w}mm' height='{h}mm' viewBox='0 0 {w} {h}'>\
         <rect width='{w}' height='{h}' fill='#fff'/>\n"
    );
    for mark in &d.marks {
        match mark {
            Mark::Path(p) => svg_path(&mut out, p),
            Mark::Label(l) => {
                let anchor = match l.anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                let text = l.text.replace('&', "&amp;").replace('<', "&lt;");
                let (x, y) = l.at;
                let _ = writeln!(
                    out,
                    "<text x='{x}' y='{y}' transform='rotate({} {x} {y})' font-family='DejaVu Sans' \
                     font-size='{}' font-weight='{}' text-anchor='{anchor}' fill='{}'>{text}</text>",
                    l.turn,
                    l.size * 25.4 / 72.0,
                    if l.strong { "bold" } else { "normal" },
                    colour(l.ink)
                );
            }
        }
    }
    out + "</svg>\n"
}

fn svg_path(out: &mut String, p: &Path) {
    let mut way = String::new();
    for s in &p.segments {
        let _ = match s {
            Segment::Move(x, y) => write!(way, "M{x} {y}"),
            Segment::Line(x, y) => write!(way, "L{x} {y}"),
            Segment::Curve([a, b, c, d, e, f]) => write!(way, "C{a} {b} {c} {d} {e} {f}"),
            Segment::Close => write!(way, "Z"),
        };
    }
    let fill = p.fill.map_or("none", colour);
    let _ = write!(out, "<path d='{way}' fill='{fill}'");
    if let Some(s) = &p.stroke {
        let dash: Vec<String> = s.dash.iter().map(f64::to_string).collect();
        let _ = write!(
            out,
            " stroke='{}' stroke-width='{}' stroke-linejoin='round' stroke-dasharray='{}'",
            colour(s.ink),
            s.width,
            if dash.is_empty() { "none".into() } else { dash.join(" ") }
        );
    }
    out.push_str("/>\n");
}

/// The drawing's lines as a one-page PDF of its own size, in points, words left out.
pub fn pdf(d: &Drawing) -> Vec<u8> {
    let k = 72.0 / 25.4;
    let mut ops = format!("{k} 0 0 {} 0 {} cm\n", -k, d.height * k);
    for mark in &d.marks {
        let Mark::Path(p) = mark else { continue };
        for s in &p.segments {
            let _ = match s {
                Segment::Move(x, y) => writeln!(ops, "{x} {y} m"),
                Segment::Line(x, y) => writeln!(ops, "{x} {y} l"),
                Segment::Curve([a, b, c, d, e, f]) => {
                    writeln!(ops, "{a} {b} {c} {d} {e} {f} c")
                }
                Segment::Close => writeln!(ops, "h"),
            };
        }
        let mut paint = "n";
        if let Some(s) = &p.stroke {
            let dash: Vec<String> = s.dash.iter().map(f64::to_string).collect();
            // State set between path building and painting is not allowed: set it before.
            let start = ops.rfind("m\n").map_or(0, |_| path_start(&ops));
            ops.insert_str(start, &format!("{} w [{}] 0 d\n", s.width, dash.join(" ")));
            paint = "S";
        }
        if p.fill.is_some() {
            paint = if p.stroke.is_some() { "B" } else { "f" };
        }
        let _ = writeln!(ops, "{paint}");
    }
    page(&ops, d.width * k, d.height * k)
}

/// Where the last unpainted path begins.
fn path_start(ops: &str) -> usize {
    ["\nS\n", "\nf\n", "\nB\n", "\nn\n", " cm\n"]
        .iter()
        .filter_map(|mark| ops.rfind(mark).map(|at| at + mark.len()))
        .max()
        .unwrap_or(0)
}

fn page(ops: &str, w: f64, h: f64) -> Vec<u8> {
    let objects = [
        "<</Type/Catalog/Pages 2 0 R>>".to_owned(),
        "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned(),
        format!("<</Type/Page/Parent 2 0 R/MediaBox[0 0 {w} {h}]/Contents 4 0 R/Resources<<>>>>"),
        format!("<</Length {}>>stream\n{ops}\nendstream", ops.len()),
    ];
    let mut out = "%PDF-1.4\n".to_owned();
    let mut at = Vec::new();
    for (i, body) in objects.iter().enumerate() {
        at.push(out.len());
        let _ = write!(out, "{} 0 obj\n{body}\nendobj\n", i + 1);
    }
    let xref = out.len();
    let _ = write!(out, "xref\n0 5\n0000000000 65535 f \n");
    for a in at {
        let _ = writeln!(out, "{a:010} 00000 n ");
    }
    let _ = write!(out, "trailer<</Size 5/Root 1 0 R>>\nstartxref\n{xref}\n%%EOF\n");
    out.into_bytes()
}

/// A drawing as ink on paper at 300 dpi.
pub struct Print {
    width: usize,
    height: usize,
    ink: Vec<f64>,
}

const DPI: f64 = 300.0;

impl Print {
    /// Prints the drawing's lines.
    pub fn of(d: &Drawing) -> Print {
        let pdf = Pdf::new(pdf(d)).unwrap();
        let scale = (DPI / 72.0) as f32;
        let cache = RenderCache::new();
        let page = &pdf.pages()[0];
        let pixmap = hayro::render(
            page,
            &cache,
            &InterpreterSettings::default(),
            &RenderSettings::default(),
            &PixmapSettings { x_scale: scale, y_scale: scale, bg_color: WHITE },
        );
        Print {
            width: usize::from(pixmap.width()),
            height: usize::from(pixmap.height()),
            ink: pixmap.data().iter().map(|p| 1.0 - f64::from(p.g) / 255.0).collect(),
        }
    }

    /// Middles in mm of the strokes met going right along the row `y` mm, from `x0` to `x1`.
    pub fn along_row(&self, y: f64, x0: f64, x1: f64) -> Vec<f64> {
        let row = pixel(y).min(self.height - 1) * self.width;
        middles((pixel(x0)..pixel(x1).min(self.width)).map(|x| (x, self.ink[row + x])))
    }

    /// Middles in mm of the strokes met going down the column `x` mm, from `y0` to `y1`.
    pub fn down_column(&self, x: f64, y0: f64, y1: f64) -> Vec<f64> {
        let x = pixel(x).min(self.width - 1);
        middles((pixel(y0)..pixel(y1).min(self.height)).map(|y| (y, self.ink[y * self.width + x])))
    }
}

fn pixel(mm: f64) -> usize {
    (mm / 25.4 * DPI).max(0.0) as usize
}

fn middles(pixels: impl Iterator<Item = (usize, f64)>) -> Vec<f64> {
    let mut out = Vec::new();
    let (mut weight, mut moment) = (0.0, 0.0);
    for (at, ink) in pixels {
        if ink > 0.05 {
            weight += ink;
            moment += ink * (at as f64 + 0.5);
        } else if weight > 0.0 {
            out.push(moment / weight / DPI * 25.4);
            (weight, moment) = (0.0, 0.0);
        }
    }
    if weight > 0.0 {
        out.push(moment / weight / DPI * 25.4);
    }
    out
}

#[allow(clippy::disallowed_methods)] // a test's own leavings
/// Writes the drawing as SVG beside the test's other leavings, to be looked at.
pub fn keep_svg(name: &str, d: &Drawing) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name).with_extension("svg"), svg(d)).unwrap();
}
