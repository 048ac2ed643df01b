//! A correction in words for the terminal.

use super::correct::{Correction, GaugeReport, HookReport, Measured, Verdict, YarnReport};
use super::stats::{RestsOn, Summary};
use crate::quantity::number;
use std::fmt::Write;

/// What the cards say, fabric by fabric, and what would change.
pub fn text(c: &Correction) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}, edition {}: {} from {}",
        c.title,
        c.edition,
        plural(c.cards, "card"),
        plural(c.testers, "tester")
    );
    for gauge in &c.gauges {
        out.push_str(&gauge_text(gauge));
    }
    for hook in c.hooks.iter().filter(|h| !h.testers.is_empty()) {
        out.push_str(&hook_text(hook));
    }
    for yarn in &c.yarn {
        out.push_str(&yarn_text(yarn));
    }
    if !c.finished.is_empty() {
        out.push_str("\nfinished hats against the schematic\n");
    }
    for f in &c.finished {
        let (measured, schematic) = (f.measured.cm_text(), f.schematic.cm_text());
        let hands = f.by_gauge.map(|l| format!(", by her gauge {}", l.cm_text()));
        let _ = writeln!(
            out,
            "  {}, {}: {} {measured}, schematic {schematic}{}",
            f.tester,
            f.size,
            f.what,
            hands.unwrap_or_default()
        );
    }
    if !c.unclear.is_empty() {
        out.push_str("\nunclear\n");
    }
    for u in &c.unclear {
        let line = u.line.map(|l| format!(", line {l}")).unwrap_or_default();
        let _ = writeln!(out, "  {}, {}{line}: {}", u.tester, u.size, one_line(&u.words));
    }
    if !c.notes.is_empty() {
        out.push_str("\nnotes\n");
    }
    for (tester, words) in &c.notes {
        let _ = writeln!(out, "  {tester}: {}", one_line(words));
    }
    out.push('\n');
    if c.changes.is_empty() {
        out.push_str("nothing would change in the design\n");
    } else {
        let _ = writeln!(out, "would change: {}", c.changes.sentence());
    }
    out
}

fn plural(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}

fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn gauge_text(g: &GaugeReport) -> String {
    let when = if g.washed { "after washing" } else { "before washing" };
    let mut out = format!("\ngauge {} over {}, {when}\n", g.name, g.over.as_given_text());
    for (what, m) in [("sts", &g.sts), ("rows", &g.rows)] {
        let _ = writeln!(out, "  {what:<5}{}", measured(m));
        if !m.testers.is_empty() {
            let figures: Vec<String> =
                m.testers.iter().map(|(who, v)| format!("{who} {}", number(*v, 2))).collect();
            let _ = writeln!(out, "       ({})", figures.join(", "));
        }
    }
    out
}

fn measured(m: &Measured) -> String {
    let design = number(m.design, 2);
    let Some(s) = &m.summary else { return format!("design {design}, not measured") };
    let verdict = match m.verdict {
        Verdict::TooFew => "too few to say".to_owned(),
        Verdict::Holds => "the design holds".to_owned(),
        Verdict::Change(n) if s.holds(m.design) => {
            let (n, testers) = (number(n, 2), s.kept);
            format!("change to {n}; {testers} testers cannot yet rule {design} out")
        }
        Verdict::Change(n) => format!("change to {}", number(n, 2)),
        Verdict::HookInstead => "kept: the hook changes".to_owned(),
    };
    format!(
        "design {design}, testers {} (spread {}; {}): {verdict}",
        number(s.median, 2),
        number(s.spread, 2),
        interval(s),
    )
}

/// `14.8 to 17.2 with 95 % confidence`, and what that rests on and takes for granted.
fn interval(s: &Summary) -> String {
    let mut by = match (s.rests_on, s.taken) {
        (RestsOn::Ranks, _) => String::new(),
        (RestsOn::Student, None) => " by Student's t".to_owned(),
        (RestsOn::Student, Some(spread)) => {
            format!(" by Student's t on a spread of {}, the least believed", number(spread, 2))
        }
    };
    if s.ranged {
        by.push_str(", and no narrower than the figures themselves");
    }
    if s.reading > 0.0 {
        by.push_str(&format!("; {} either way is for counting", number(s.reading, 2)));
    }
    format!(
        "{} to {} with {} % confidence{by}",
        number(s.interval.0, 2),
        number(s.interval.1, 2),
        number((s.confidence * 100.0).floor(), 0)
    )
}

fn hook_text(h: &HookReport) -> String {
    let used: Vec<String> =
        h.testers.iter().map(|(who, l)| format!("{who} {}", l.hook_text())).collect();
    let verdict = match h.change {
        Some(size) => format!(": change to {}", size.hook_text()),
        None => String::new(),
    };
    let (name, design) = (&h.name, h.design.hook_text());
    format!("\nhook {name}, design {design}, used {}{verdict}\n", used.join(", "))
}

fn yarn_text(y: &YarnReport) -> String {
    let mut out = format!("\nyarn {}\n", y.name);
    for hat in &y.hats {
        let estimate = match hat.estimate {
            Some(e) => format!(" of {} worked out", e.grams_text()),
            None => String::new(),
        };
        let (who, size) = (&hat.tester, &hat.size);
        let _ = writeln!(out, "  {who}, {size}: {}{estimate}", hat.used.grams_text());
    }
    if let Some(r) = &y.ratio {
        let _ = writeln!(out, "  taken over worked out: {} ({})", number(r.median, 2), interval(r));
    }
    out
}
