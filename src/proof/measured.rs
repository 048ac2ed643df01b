//! The proved design measured: its fabrics laid beside its gauges and yarns.

use super::Proved;
use super::merge::merge;
use crate::design::{self, PompomKind, Rule, yarn_of};
use crate::diag::Finding;
use crate::grading::fit::{self, CrownWay, Made};
use crate::measures::{
    self, GaugeOf, Hat, Measured, PieceOf, PompomOf, SampleOf, SizeMeasures, SizeOf, Swatch, Top,
    YarnOf,
};
use crate::quantity::Length;
use crate::standards::stitches::{Base, Kind, Terms, basics};
use crate::standards::worked;

/// Measures every size of a proved design: girth, depth and yarn as worked, with the
/// findings on promise and crown, and the fit judged by what was worked. A size with a
/// piece that could not be worked is measured by what there is and not judged for fit.
pub fn measured(proved: &Proved) -> Measured {
    let hat = hat(proved);
    let mut measured = measures::measure(&hat);
    let fit = fit::check(&proved.design, &made(proved, &hat, &measured));
    measured.findings.extend(fit);
    measured.findings.extend(crowns(proved, &hat, &measured));
    measured.findings.extend(folds(proved, &hat, &measured));
    measured
}

/// Each size's crown against the flat disc of its gauge.
fn crowns(proved: &Proved, hat: &Hat<'_>, measured: &Measured) -> Vec<Finding> {
    let by_size = measured.sizes.iter().zip(&hat.sizes).map(|(m, of)| {
        let found = m.crown.as_ref().and_then(|crown| {
            let piece = of.pieces.get(crown.piece)?;
            let gauge = proved.design.gauges.get(piece.gauge)?;
            let way = if crown.outwards { CrownWay::Grows } else { CrownWay::Narrows };
            fit::crown(piece.name, of.id, crown.growth(), way, gauge)
        });
        (m.id.clone(), found.into_iter().collect())
    });
    merge(by_size.collect())
}

/// What is folded up must be at the brim, and there.
fn folds(proved: &Proved, hat: &Hat<'_>, measured: &Measured) -> Vec<Finding> {
    let place = |name: &str| {
        let part = proved.design.pieces.iter().find(|p| p.name.as_str() == name)?;
        Some(match part.fold.as_ref()? {
            Rule::All(text) => text.place,
            Rule::PerSize(table) => table.place,
        })
    };
    let judge = |of: &PieceOf<'_>, at: usize, m: &SizeMeasures| {
        let brim = m.silhouette.brim().filter(|b| b.piece == at);
        let fold = Length::mm(of.fold).cm_text();
        let finding = match brim {
            None => Finding::fault("fold-place", format!("{} is not at the brim", of.name))
                .help("a hat is folded up at its brim: give `fold` to the piece there"),
            Some(brim) if of.fold > brim.depth => {
                let deep = Length::mm(brim.depth).cm_text();
                let message = format!("{fold} of {} are folded up, and it is {deep} deep", of.name);
                Finding::fault("fold-deep", message).help("fold up less, or work a deeper piece")
            }
            Some(_) => return None,
        };
        Some(match place(of.name) {
            Some(place) => finding.at(place, "folded up"),
            None => finding,
        })
    };
    let by_size = measured.sizes.iter().zip(&hat.sizes).map(|(m, of)| {
        let folded = of.pieces.iter().enumerate().filter(|(_, p)| p.fold > 0.0);
        (m.id.clone(), folded.filter_map(|(at, p)| judge(p, at, m)).collect())
    });
    merge(by_size.collect())
}

/// The proved design as measures want it.
pub fn hat(proved: &Proved) -> Hat<'_> {
    let design = &proved.design;
    Hat {
        gauges: design.gauges.iter().map(|g| gauge(g, design.terms)).collect(),
        yarns: design.yarns.iter().map(yarn).collect(),
        sample: sample(design),
        sizes: (0..design.sizes.len()).map(|i| size(proved, i)).collect(),
    }
}

fn gauge(gauge: &design::Gauge, terms: Terms) -> GaugeOf {
    let (width, height) = gauge.swatch();
    GaugeOf {
        name: gauge.name.clone(),
        stitch: gauge.stitch_width().to_mm(),
        row: gauge.row_height().to_mm(),
        own: gauge.about.as_ref().and_then(|s| named_stitch(s.as_str(), terms)),
        swatch: gauge.swatch_mass.as_ref().map(|m| Swatch {
            width: width.to_mm(),
            height: height.to_mm(),
            mass: m.value.to_grams(),
        }),
    }
}

/// The one basic stitch that words on a gauge name ("half double crochet in rounds"); none
/// where they name none or several.
fn named_stitch(words: &str, terms: Terms) -> Option<Kind> {
    let words = format!(" {} ", words.to_lowercase().replace(|c: char| !c.is_alphanumeric(), " "));
    let plain = basics().filter(|k| !matches!(k.base, Base::Ch | Base::SlSt | Base::Picot));
    let mut named: Vec<(String, Kind)> = plain
        .flat_map(|k| [(k.long_name(terms, &[]), k), (k.name(terms, &[]), k)])
        .filter(|(name, _)| words.contains(&format!(" {name} ")))
        .collect();
    // "half double crochet" also holds "double crochet": the longer name is meant.
    let all = named.clone();
    named.retain(|(n, k)| {
        !all.iter().any(|(m, l)| l != k && m.len() > n.len() && m.contains(n.as_str()))
    });
    let first = named.first().map(|(_, k)| *k)?;
    named.iter().all(|(_, k)| *k == first).then_some(first)
}

fn yarn(yarn: &design::Yarn) -> YarnOf {
    YarnOf {
        name: yarn.name.text.clone(),
        ball_mass: yarn.ball_mass.as_ref().map(|m| m.value.to_grams()),
        ball_length: yarn.ball_length.as_ref().map(|l| l.value.to_m()),
        balls_to_use: yarn.balls_to_use.as_ref().map(|b| b.value),
        margin: yarn.margin.as_ref().map(|p| p.value.share()),
        place: yarn.balls_to_use.as_ref().map(|b| b.place),
    }
}

fn yarn_at(design: &design::Design, name: Option<&str>) -> usize {
    let found = name.and_then(|n| design.yarns.iter().position(|y| y.name.text == n));
    found.unwrap_or(0)
}

fn sample(design: &design::Design) -> Option<SampleOf> {
    let sample = design.sample.as_ref()?;
    let size = design.sizes.iter().position(|s| s.id == sample.size.value)?;
    let mass = sample.mass.iter().map(|(n, m)| (yarn_at(design, Some(n)), m.value.to_grams()));
    Some(SampleOf { size, mass: mass.collect() })
}

fn size(proved: &Proved, at: usize) -> SizeOf<'_> {
    let design = &proved.design;
    let mut pieces: Vec<PieceOf> = Vec::new();
    // Where each piece of the design stands among this size's pieces.
    let mut places: Vec<Option<usize>> = Vec::new();
    for (part, piece) in design.pieces.iter().zip(&proved.pieces) {
        let Some(worked) = piece.worked.get(at).and_then(Option::as_ref) else {
            places.push(None);
            continue;
        };
        let from = part.from.as_ref().and_then(|name| {
            let named = design.pieces.iter().position(|p| p.name.as_str() == name.value)?;
            places.get(named).copied().flatten()
        });
        places.push(Some(pieces.len()));
        pieces.push(PieceOf {
            name: part.name.as_str(),
            fabric: &worked.fabric,
            gauge: design.gauges.iter().position(|g| g.name == part.gauge.value).unwrap_or(0),
            yarn: yarn_of(part, &design.gauges, &design.yarns),
            make: part.make,
            from,
            fold: folded(proved, at, places.len() - 1),
            beyond: part.beyond,
        });
    }
    SizeOf {
        id: design.sizes.get(at).map_or("", |s| s.id.as_str()),
        pieces,
        pompom: pompom(proved, at),
    }
}

/// What is folded up of a piece, in mm.
fn folded(proved: &Proved, size: usize, piece: usize) -> f64 {
    let graded = proved.graded.sizes.get(size);
    graded.and_then(|s| s.folds.get(piece).copied().flatten()).map_or(0.0, Length::to_mm)
}

fn pompom(proved: &Proved, at: usize) -> Option<PompomOf> {
    let pompom = proved.design.pompom.as_ref()?;
    if pompom.kind.value == PompomKind::Fur {
        return None;
    }
    let diameter = proved.graded.sizes.get(at)?.pompom?;
    let rule = worked::pompom();
    let trim = pompom.trim.as_ref().map_or(rule.trim.value, |t| t.value.to_mm());
    let ring = diameter.to_mm() + trim;
    let hole = pompom.hole.as_ref().map_or(ring * rule.hole.value, |h| h.value.to_mm());
    let yarn = yarn_at(&proved.design, pompom.yarn.as_ref().map(|y| y.value.as_str()));
    Some(PompomOf { yarn, ring, hole })
}

/// The sizes as worked, for judging the fit. Sizes not wholly worked are left out.
fn made(proved: &Proved, hat: &Hat<'_>, measured: &Measured) -> Vec<Made> {
    let sizes = proved.graded.sizes.iter().zip(&measured.sizes).zip(&hat.sizes);
    let whole = sizes.filter(|((_, m), of)| {
        m.silhouette.depth > 0.0 && of.pieces.iter().all(|p| !p.fabric.courses.is_empty())
    });
    let by_ball = proved.design.pieces.iter().any(|p| p.until_ball_ends.is_some());
    whole
        .map(|((graded, m), of)| Made {
            by_ball,
            girth: Length::mm(m.silhouette.girth),
            depth: Length::mm(m.silhouette.depth),
            row: Length::mm(tallest(hat, of)),
            cuff: m
                .silhouette
                .brim()
                .filter(|_| m.silhouette.pieces.len() > 1 && of.pieces.len() > 1)
                .map(|p| Length::mm(p.depth - m.silhouette.fold)),
            fold: Length::mm(m.silhouette.fold),
            closed: m.silhouette.top != Top::Open,
            ..Made::from(graded)
        })
        .collect()
}

/// Height of the tallest row of the gauges a size is worked in, in mm.
fn tallest(hat: &Hat<'_>, of: &SizeOf<'_>) -> f64 {
    let rows = of.pieces.iter().filter_map(|p| hat.gauges.get(p.gauge)).map(|g| g.row);
    rows.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_stitch_of_a_gauge_is_read_from_its_words() {
        let us = |words| named_stitch(words, Terms::Us);
        assert_eq!(us("half double crochet in joined rounds"), Some(Kind::plain(Base::Hdc)));
        assert_eq!(us("hdc blo"), Some(Kind::plain(Base::Hdc)));
        assert_eq!(us("Single crochet"), Some(Kind::SC));
        assert_eq!(us("dc and sc by turns"), None);
        assert_eq!(us("V-stitches worked in rounds"), None);
        assert_eq!(named_stitch("treble crochet", Terms::Uk), Some(Kind::plain(Base::Dc)));
    }
}
