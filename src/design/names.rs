//! Names used in one part of a design file must be given in another.

use super::model::*;
use super::walk::Reader;
use crate::diag::nearest::nearest;
use crate::diag::{Finding, Place};

/// The parts that name one another, as far as they could be read.
pub(super) struct Read<'d> {
    pub yarns: &'d [Yarn],
    pub hooks: &'d [Hook],
    pub gauges: &'d [Gauge],
    pub sizes: &'d [Size],
    pub pieces: &'d [Piece],
    pub sample: Option<&'d Sample>,
    pub pompom: Option<&'d Pompom>,
    pub counts: &'d [Count],
    pub count_names: &'d [(Placed<String>, Text)],
}

/// Names used in one part must be given in another.
pub(super) fn check(r: &mut Reader<'_>, d: &Read<'_>) {
    let hooks: Vec<&str> = d.hooks.iter().map(|h| h.name.as_str()).collect();
    let yarns: Vec<&str> = d.yarns.iter().map(|y| y.name.as_str()).collect();
    let gauges: Vec<&str> = d.gauges.iter().map(|g| g.name.as_str()).collect();
    let sizes: Vec<&str> = d.sizes.iter().map(|s| s.id.as_str()).collect();
    let pieces: Vec<&str> = d.pieces.iter().map(|p| p.name.as_str()).collect();
    for g in d.gauges {
        known(r, "hook", g.hook.as_ref(), &hooks);
        known(r, "yarn", g.yarn.as_ref(), &yarns);
    }
    for (i, p) in d.pieces.iter().enumerate() {
        known(r, "gauge", Some(&p.gauge), &gauges);
        known(r, "hook", p.hook.as_ref(), &hooks);
        known(r, "yarn", p.yarn.as_ref(), &yarns);
        known(r, "piece", p.from.as_ref(), pieces.get(..i).unwrap_or(&[]));
        for size in &p.sizes {
            known(r, "size", Some(size), &sizes);
        }
        if let Some(rule) = &p.fold {
            per_size(r, rule, &sizes);
        }
    }
    until_ball_ends(r, d);
    if let Some(s) = d.sample {
        known(r, "size", Some(&s.size), &sizes);
        for (yarn, mass) in &s.mass {
            let named = Placed { value: yarn.clone(), place: mass.place };
            known(r, "yarn", Some(&named), &yarns);
        }
    }
    if let Some(p) = d.pompom {
        known(r, "yarn", p.yarn.as_ref(), &yarns);
        for size in &p.sizes {
            known(r, "size", Some(size), &sizes);
        }
        per_size(r, &p.diameter, &sizes);
    }
    for c in d.counts {
        per_size(r, &c.rule, &sizes);
    }
    let counts: Vec<&str> = d.counts.iter().map(|c| c.name.as_str()).collect();
    for (name, _) in d.count_names {
        known(r, "number", Some(name), &counts);
    }
    twice(r, "piece", d.pieces.iter().map(|p| (p.name.as_str(), p.name.place)));
    twice(r, "yarn", d.yarns.iter().map(|y| (y.name.as_str(), y.name.place)));
}

/// What is worked until the ball ends needs a number to find and a ball that ends.
fn until_ball_ends(r: &mut Reader<'_>, d: &Read<'_>) {
    let mut first: Option<Place> = None;
    for piece in d.pieces {
        let Some(until) = &piece.until_ball_ends else { continue };
        if let Some(first) = first {
            let finding = Finding::fault("until-ball", "two pieces are worked until the ball ends")
                .at(until.place, "the second")
                .label(first, "the first")
                .help("one of them must have a number of rounds of its own");
            r.fault(finding);
            continue;
        }
        first = Some(until.place);
        let counts: Vec<&str> = d.counts.iter().map(|c| c.name.as_str()).collect();
        known(r, "number", Some(&until.rounds), &counts);
        let Some(yarn) = d.yarns.get(yarn_of(piece, d.gauges, d.yarns)) else { continue };
        let name = yarn.name.as_str();
        let missing = match (&yarn.balls_to_use, &yarn.ball_mass) {
            (None, _) => "`balls_to_use`",
            (_, None) => "the `mass` of its `ball`",
            _ => {
                if let Some((_, mass)) = weighed(d, name) {
                    let message = format!(
                        "the sample's mass of yarn {name} sets no scale: its rounds were worked \
                         until the ball ended, and how many they were is not known"
                    );
                    let finding = Finding::fault("until-ball", message)
                        .at(mass.place, "")
                        .label(until.place, "until the ball ends")
                        .help("leave the mass out, and weigh a swatch as `swatch_mass`");
                    r.fault(finding);
                }
                continue;
            }
        };
        let message = format!(
            "{} is worked until the ball ends, but yarn {name} does not say {missing}",
            piece.name.as_str()
        );
        let finding = Finding::fault("until-ball", message)
            .at(until.place, "")
            .label(yarn.place, format!("{missing} is missing here"))
            .help("give the yarn `balls_to_use` and a ball with its `mass`");
        r.fault(finding);
    }
}

fn weighed<'d>(d: &Read<'d>, yarn: &str) -> Option<&'d (String, Placed<crate::quantity::Mass>)> {
    d.sample?.mass.iter().find(|(name, _)| name == yarn)
}

/// The yarn a piece is worked in, as a place in the design: its own, its gauge's, or the
/// first.
pub fn yarn_of(piece: &Piece, gauges: &[Gauge], yarns: &[Yarn]) -> usize {
    let gauge = gauges.iter().find(|g| g.name == piece.gauge.value);
    let named = piece.yarn.as_ref().or(gauge.and_then(|g| g.yarn.as_ref()));
    let at = named.and_then(|name| yarns.iter().position(|y| y.name.as_str() == name.value));
    at.unwrap_or(0)
}

fn known(r: &mut Reader<'_>, what: &str, name: Option<&Placed<String>>, names: &[&str]) {
    let doubtful = r.doubtful.contains(&what);
    let Some(name) = name.filter(|n| !doubtful && !names.contains(&n.value.as_str())) else {
        return;
    };
    r.fault(unknown_name(what, &name.value, name.place, names));
}

/// A fault for a name that is given nowhere; the code is `unknown-` and what it names.
pub(crate) fn unknown_name(what: &str, name: &str, place: Place, names: &[&str]) -> Finding {
    let code = match what {
        "hook" => "unknown-hook",
        "yarn" => "unknown-yarn",
        "gauge" => "unknown-gauge",
        "piece" => "unknown-piece",
        "size" => "unknown-size",
        "number" => "unknown-name",
        _ => "unknown-word",
    };
    let earlier = if what == "piece" { "earlier " } else { "" };
    let message = format!("there is no {earlier}{what} \"{name}\"");
    let likely = nearest(name, names.iter().copied());
    let here = likely.map_or(String::new(), |l| format!("perhaps \"{l}\"?"));
    let help = if names.is_empty() {
        format!("the file names no {earlier}{what}")
    } else {
        format!("known here: {}", names.join(", "))
    };
    Finding::fault(code, message).at(place, here).help(help)
}

/// A table of numbers by size must name sizes that exist and leave none out.
fn per_size(r: &mut Reader<'_>, rule: &Rule, sizes: &[&str]) {
    let Rule::PerSize(table) = rule else { return };
    for (size, _) in &table.each {
        known(r, "size", Some(size), sizes);
    }
    let missing: Vec<&str> = sizes.iter().copied().filter(|s| rule.for_size(s).is_none()).collect();
    if !missing.is_empty() {
        let message = format!("no number for {}", missing.join(", "));
        let finding = Finding::fault("size-without-number", message)
            .at(table.place, "this table leaves sizes out")
            .sizes(missing)
            .help("add the size, or `rest = …` for all sizes not named");
        r.fault(finding);
    }
}

fn twice<'n>(r: &mut Reader<'_>, what: &str, names: impl Iterator<Item = (&'n str, Place)>) {
    let mut seen: Vec<(&str, Place)> = Vec::new();
    for (name, place) in names {
        if let Some((_, first)) = seen.iter().find(|(n, _)| *n == name) {
            let finding = Finding::fault("duplicate", format!("two {what}s are named \"{name}\""))
                .at(place, "the second")
                .label(*first, "the first");
            r.fault(finding);
        } else {
            seen.push((name, place));
        }
    }
}
