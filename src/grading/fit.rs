//! Whether the hat will sit: girth, depth, ease and the heads that no size fits.
//!
//! Takes plain measures, so that the wishes can be judged before a stitch is worked and
//! the worked hat after. Every finding here is a caution: the hat can be made.

use super::graded::{Graded, GradedSize};
use super::rules::ReadRule;
use crate::design::{DepthRule, Design, Ease, Gauge};
use crate::diag::Finding;
use crate::quantity::{Length, Percent, number};
use crate::standards::fit as standard;

/// What one size measures, wished or worked.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// The size's id.
    pub id: String,
    /// The size's name.
    pub name: String,
    /// The head it is graded for.
    pub head: Length,
    /// The smallest head it is for.
    pub head_min: Length,
    /// The largest head it is for.
    pub head_max: Length,
    /// The girth the design wishes for.
    pub wish: Length,
    /// The finished girth.
    pub girth: Length,
    /// The finished depth, cuff turned as worn.
    pub depth: Length,
    /// The depth the design wishes for.
    pub depth_wish: Length,
    /// Height of the tallest row or round of its gauges.
    pub row: Length,
    /// Depth of the cuff as worn, where there is one.
    pub cuff: Option<Length>,
    /// How much of it is folded up.
    pub fold: Length,
    /// Whether its top is closed; an ear-warmer's is not.
    pub closed: bool,
    /// Whether a part of it is worked until the ball ends: its depth is what the yarn gives.
    pub by_ball: bool,
}

impl From<&GradedSize> for Made {
    /// A size as it is wished, before it is worked.
    fn from(size: &GradedSize) -> Self {
        Made {
            id: size.id.clone(),
            name: size.name.clone(),
            head: size.head,
            head_min: size.head_min,
            head_max: size.head_max,
            wish: size.girth,
            girth: size.girth,
            depth: size.depth,
            depth_wish: size.depth,
            row: Length::ZERO,
            cuff: None,
            fold: Length::ZERO,
            closed: true,
            by_ball: false,
        }
    }
}

/// How far a worked girth may lie from the wish where the design does not say: an inch.
/// Our own choice; published hat sizes lie one to two inches apart.
const GIRTH_MARGIN: f64 = 25.4;

/// How far a worked depth may lie from the wish: 2 cm, or a row's height where that is more,
/// since whole rows come no nearer. Our own choice; published depths lie one to two
/// centimetres apart from size to size.
const DEPTH_MARGIN: f64 = 20.0;

/// Judges every size alone and each beside its neighbours.
pub fn check(design: &Design, made: &[Made]) -> Vec<Finding> {
    type Judge<'j> = &'j dyn Fn(&Made) -> Option<Finding>;
    let mut findings = Vec::new();
    let alone: [Judge; 5] = [
        &|m| ease_outside(design, m),
        &|m| girth_off(design, m),
        &|m| depth_off(design, m),
        &depth_short,
        &cuff_deep,
    ];
    for judge in alone {
        findings.extend(together(made.iter().filter_map(judge).collect(), made.len()));
    }
    for pair in made.windows(2) {
        if let [small, large] = pair {
            findings.extend(not_ascending(small, large));
        }
    }
    findings.extend(heads_between(design, made));
    findings
}

/// One finding for what several sizes share, with what differs in each.
fn together(findings: Vec<Finding>, all: usize) -> Option<Finding> {
    let mut findings = findings.into_iter();
    let mut first = findings.next()?;
    for f in findings {
        if let Some(size) = f.sizes.first() {
            first.each.push((size.clone(), f.message));
        }
        first.sizes.extend(f.sizes);
    }
    if first.sizes.len() == all && first.each.is_empty() {
        first.sizes.clear();
    }
    Some(first)
}

fn percent(p: Percent) -> String {
    format!("{} %", number(p.value(), 1))
}

/// The finished girth against the customary ease of the design's style.
fn ease_outside(design: &Design, m: &Made) -> Option<Finding> {
    let fabric = design.fit.fabric.as_ref()?;
    let style = standard::style(&fabric.value)?;
    let (least, most) = style.girths(m.head);
    // Girths are printed to the half centimetre: a quarter either way is no difference.
    let slack = Length::cm(0.25);
    if m.girth >= least - slack && m.girth <= most + slack {
        return None;
    }
    let ease = Percent::from_share(m.girth / m.head - 1.0);
    let (low, high) = style.percents();
    let message = format!(
        "{} is {} round on a head of {} ({}); a {} is usually {} to {}, here {} to {}",
        m.name,
        m.girth.cm_text(),
        m.head.cm_text(),
        percent(ease),
        style.name,
        percent(low),
        percent(high),
        least.cm_text(),
        most.cm_text(),
    );
    Some(
        Finding::caution("ease-outside", message)
            .at(fabric.place, "the style named here")
            .sizes([m.id.as_str()])
            .help("change the ease, or name the style it is"),
    )
}

/// The worked girth against the wished one.
fn girth_off(design: &Design, m: &Made) -> Option<Finding> {
    let margin = match design.fit.margin.as_ref().map(|p| p.value) {
        Some(Ease::Length(l)) => l,
        Some(Ease::Percent(p)) => m.wish * p.share(),
        None => Length::mm(GIRTH_MARGIN),
    };
    let off = m.girth - m.wish;
    if off.abs() <= margin {
        return None;
    }
    let way = if off.is_positive() { "more" } else { "less" };
    let message = format!(
        "{} comes out {} round, {} {way} than the {} wished for",
        m.name,
        m.girth.cm_text(),
        off.abs().cm_text(),
        m.wish.cm_text(),
    );
    let finding = Finding::caution("girth-off", message).sizes([m.id.as_str()]).help(format!(
        "round to a smaller multiple, or allow more than {} as `margin` in [fit]",
        margin.cm_text()
    ));
    Some(match design.fit.place {
        Some(place) => finding.at(place, ""),
        None => finding,
    })
}

/// The worked depth against the wished one. What the yarn sets has no wish, and nor has a
/// band whose depth the design does not name: the standard depth is that of a hat.
fn depth_off(design: &Design, m: &Made) -> Option<Finding> {
    let named = design.depth != DepthRule::Standard || design.sizes.iter().any(|s| !s.standard);
    let off = m.depth - m.depth_wish;
    if m.by_ball || !(m.closed || named) || off.abs() <= Length::mm(DEPTH_MARGIN).max(m.row) {
        return None;
    }
    let way = if off.is_positive() { "more" } else { "less" };
    let message = format!(
        "{} comes out {} deep, {} {way} than the {} wished for",
        m.name,
        m.depth.cm_text(),
        off.abs().cm_text(),
        m.depth_wish.cm_text(),
    );
    let finding = Finding::caution("depth-off", message).sizes([m.id.as_str()]).help(
        "check the number of rounds, or say as `depth` in [sizes] how deep the hat is meant to be",
    );
    Some(finding)
}

/// A rounded top of this girth takes a quarter of the girth in depth; a band has no top.
fn depth_short(m: &Made) -> Option<Finding> {
    let dome = m.girth * standard::dome().share_of_girth;
    if !m.closed || m.depth >= dome {
        return None;
    }
    let message = format!(
        "{} is {} deep; a rounded top of {} round takes {} by itself, and the customary depth \
         is {}",
        m.name,
        m.depth.cm_text(),
        m.girth.cm_text(),
        dome.cm_text(),
        crate::standards::heads::depth_for(m.head).cm_text(),
    );
    let help = "check the depth, and whether the rounds reach it";
    Some(Finding::caution("depth-short", message).sizes([m.id.as_str()]).help(help))
}

fn cuff_deep(m: &Made) -> Option<Finding> {
    let folded = m.fold.is_positive();
    let cuff = if folded { Some(m.fold) } else { m.cuff };
    let cuff = cuff.filter(|c| *c >= m.depth)?;
    let message = format!(
        "the cuff of {} is {}{} deep and the hat only {}{}",
        m.name,
        if folded { "folded up " } else { "" },
        cuff.cm_text(),
        m.depth.cm_text(),
        if folded { " as worn" } else { "" },
    );
    Some(
        Finding::caution("cuff-deep", message)
            .sizes([m.id.as_str()])
            .help("make the cuff narrower or the hat deeper"),
    )
}

/// A larger head asks for a larger girth and for no less depth.
fn not_ascending(small: &Made, large: &Made) -> Vec<Finding> {
    let mut findings = Vec::new();
    if large.head <= small.head {
        return findings;
    }
    let dust = Length::mm(0.05);
    if large.girth <= small.girth + dust {
        let help = "check the girth of both sizes, and the multiple it is rounded to";
        findings.push(descending("girth", small, small.girth, large, large.girth).help(help));
    }
    if large.depth < small.depth - dust {
        let help = if large.by_ball {
            "the same yarn makes a larger size less deep: promise more balls for it, or say in \
             the booklet that it is"
        } else {
            "check the depth of both sizes, and the rounds that make it"
        };
        findings.push(descending("depth", small, small.depth, large, large.depth).help(help));
    }
    findings
}

fn descending(what: &str, small: &Made, a: Length, large: &Made, b: Length) -> Finding {
    let message = format!(
        "the {what} does not grow from {} ({}, head {}) to {} ({}, head {})",
        small.name,
        a.cm_text(),
        small.head.cm_text(),
        large.name,
        b.cm_text(),
        large.head.cm_text(),
    );
    Finding::caution("not-ascending", message).sizes([small.id.as_str(), large.id.as_str()])
}

/// The heads between two sizes that neither fits: by the bands the sizes are for, and,
/// where the design names its style, by what its girth stretches to.
fn heads_between(design: &Design, made: &[Made]) -> Vec<Finding> {
    let style = design.fit.fabric.as_ref().and_then(|f| standard::style(&f.value));
    let band = |m: &Made| match style {
        Some(style) => {
            let (low, high) = style.heads(m.girth);
            Some((low.min(m.head_min), high.max(m.head_max)))
        }
        // A size of the author's own that does not say which heads it is for.
        None if m.head_min == m.head_max => None,
        None => Some((m.head_min, m.head_max)),
    };
    let mut by_head: Vec<&Made> = made.iter().collect();
    by_head.sort_by_key(|m| m.head);
    let mut findings = Vec::new();
    let mut reach: Option<(Length, &Made)> = None;
    for m in by_head {
        let Some((low, high)) = band(m) else {
            reach = None;
            continue;
        };
        if let Some((top, below)) = reach
            && low - top > Length::cm(0.5)
        {
            findings.push(gap(below, top, m, low));
        }
        if reach.is_none_or(|(top, _)| high > top) {
            reach = Some((high, m));
        }
    }
    findings
}

fn gap(below: &Made, from: Length, above: &Made, to: Length) -> Finding {
    let message = format!(
        "no size fits heads from {} to {}: {} ends below them and {} begins above",
        from.cm_text(),
        to.cm_text(),
        below.name,
        above.name,
    );
    Finding::caution("heads-between", message)
        .sizes([below.id.as_str(), above.id.as_str()])
        .help("add a size between them, or say in the booklet that these heads are left out")
}

/// Stitches by which a flat circle grows each round at this gauge: 2π × height / width.
pub fn flat_increases(gauge: &Gauge) -> f64 {
    std::f64::consts::TAU * (gauge.row_height() / gauge.stitch_width())
}

/// Which way a crown is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CrownWay {
    /// From its middle outwards: it grows.
    Grows,
    /// From its edge to its middle: it narrows.
    Narrows,
}

/// A crown that changes by `per_round` stitches a round, against the flat circle.
pub fn crown(
    piece: &str,
    size: &str,
    per_round: f64,
    way: CrownWay,
    gauge: &Gauge,
) -> Option<Finding> {
    let flat = flat_increases(gauge);
    let share = per_round / flat;
    let limits = standard::crown();
    let (verb, full) = match way {
        CrownWay::Grows => ("grows", "it will ruffle"),
        CrownWay::Narrows => ("narrows", "it will pucker"),
    };
    let numbers = |end: &str| {
        format!(
            "{piece} {verb} by {} stitches a round; at this gauge {} would lie flat, so {end}",
            number(per_round, 1),
            number(flat, 1)
        )
    };
    let (code, message) = if share > limits.ruffles_over {
        ("crown-ruffles", numbers(full))
    } else if share < limits.cone_under {
        ("crown-points", numbers("it will rise to a point"))
    } else {
        return None;
    };
    let help = format!("about {} stitches a round make a round crown", number(flat.round(), 0));
    Some(Finding::caution(code, message).sizes([size]).help(help))
}

/// Numbers that go once round the head and come out alike in two neighbouring sizes: the
/// rounding is too coarse to tell the heads apart.
pub(super) fn too_coarse(graded: &Graded) -> Vec<Finding> {
    let mut findings = Vec::new();
    for count in &graded.rules.counts {
        let ReadRule::All(formula) = &count.rule else { continue };
        for pair in graded.sizes.windows(2) {
            let [small, large] = pair else { continue };
            let (Some(a), Some(b)) =
                (round_head(small, &count.name), round_head(large, &count.name))
            else {
                continue;
            };
            if a == b && small.head < large.head {
                let message = format!(
                    "`{}` is {a} both in {} (head {}) and in {} (head {})",
                    count.name,
                    small.name,
                    small.head.cm_text(),
                    large.name,
                    large.head.cm_text(),
                );
                findings.push(
                    Finding::caution("sizes-equal", message)
                        .at(formula.text.place, "the rounding is too coarse to tell them apart")
                        .sizes([small.id.as_str(), large.id.as_str()])
                        .help("round to a smaller multiple, or leave one of the sizes out"),
                );
            }
        }
    }
    findings
}

/// The whole number of this name if it was rounded from a length that goes once round the
/// head: between seven and thirteen tenths of it.
fn round_head(size: &GradedSize, name: &str) -> Option<i64> {
    let trace = size.traces.iter().find(|t| t.name == name)?;
    let round = trace
        .roundings
        .iter()
        .any(|r| r.first && r.of.is_some_and(|of| (0.7..=1.3).contains(&(of / size.head))));
    trace.result.count().filter(|_| round)
}
