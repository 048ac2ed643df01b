//! The card to fill in, with a word on each line.

use crate::design::{Design, Gauge, Text};
use std::fmt::Write;

/// A card for one tester and one size, ready to fill in. What is known already is filled
/// in; `0` and `""` say "not filled in" and are read as nothing.
///
/// A size the design does not have gives a card all the same: reading it back says so.
pub fn blank(design: &Design, size: &str, tester: &str) -> String {
    let p = &design.pattern;
    let name = design.size(size).map_or(size, |(_, s)| s.name.as_str());
    let mut out = String::new();
    let _ = write!(
        out,
        "# Tester card for {}, edition {}, size {}.\n\
         # Fill in what stands between quotation marks or in place of a 0, and send the file\n\
         # back. What you did not measure stays as it is: 0 and \"\" mean \"not filled in\".\n\
         # Lengths may be in cm or in, masses in g or oz.\n\n\
         card = 1\n\
         tester = {}               # your name\n\
         title = {}\n\
         edition = {}\n\
         size = {}\n\
         date = 2000-01-01        # the day you fill this in: year-month-day\n\
         hours = 0                # how long the hat took, about\n\
         notes = \"\"               # anything else, in your own words\n",
        one_line(p.title.as_str()),
        one_line(p.edition.as_str()),
        one_line(name),
        quoted(tester),
        quoted(p.title.as_str()),
        quoted(p.edition.as_str()),
        quoted(size),
    );
    for gauge in &design.gauges {
        swatch(&mut out, design, gauge);
    }
    out.push_str(
        "\n# The finished hat, lying flat and relaxed, before any wear.\n[finished]\n\
         girth = \"\"               # once round the edge, such as \"51.5 cm\"\n\
         depth = \"\"               # edge to top, cuff turned as worn\n",
    );
    for yarn in &design.yarns {
        let _ = write!(
            out,
            "\n# Yarn {}{}. Weigh all its balls before you begin, and what is left at the end.\n\
             [yarn.{}]\n\
             before = \"\"              # such as \"100 g\"\n\
             after = \"\"\n",
            one_line(yarn.name.as_str()),
            about(yarn.about.as_ref()),
            key(yarn.name.as_str()),
        );
    }
    out.push_str(
        "\n# What was unclear: the number at the line's side, and your words. Copy these three\n\
         # lines for each further place.\n[[unclear]]\nline = 0\nwords = \"\"\n",
    );
    out
}

fn swatch(out: &mut String, design: &Design, gauge: &Gauge) {
    let hook = gauge.hook.as_ref().and_then(|h| design.hook(&h.value));
    let asked = match hook {
        Some(h) => format!("; the pattern asks for {}", h.size.hook_text()),
        None => String::new(),
    };
    let over = crate::quantity::number(gauge.over.value.to_cm(), 2);
    let _ = write!(
        out,
        "\n# Gauge \"{}\"{}. Count on a swatch or on the hat itself, half\n\
         # stitches and half rows too, before washing and again when it is washed and dry.\n\
         [gauge.{}]\n\
         over = \"{over} cm\"          # the length you counted over\n\
         hook = \"\"                # the hook you ended with{asked}\n\
         before = {{ sts = 0, rows = 0 }}\n\
         after = {{ sts = 0, rows = 0 }}\n",
        gauge.name,
        about(gauge.about.as_ref()),
        key(&gauge.name),
    );
}

fn about(text: Option<&Text>) -> String {
    text.map(|t| format!(": {}", one_line(t.as_str()))).unwrap_or_default()
}

/// Comments end with their line, so their words may not.
fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn quoted(words: &str) -> String {
    toml_edit::Value::from(words).to_string()
}

fn key(name: &str) -> String {
    toml_edit::Key::new(name).to_string()
}
