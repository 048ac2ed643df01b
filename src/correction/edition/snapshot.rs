//! One edition made from a proved design: what it prints, and its figures.

use super::{Edition, Fit, Number, Section, Size, Yarn, sections};
use crate::booklet::document::{self, Document, Heading};
use crate::booklet::{self, Choices};
use crate::correction::card::Card;
use crate::correction::correct::{Expected, Hands};
use crate::design::{Design, Ease};
use crate::measures::{self, SizeMeasures};
use crate::proof::{self, Proved};
use crate::quantity::{Length, Mass};
use crate::reflow::words;
use crate::standards::fit::style;
use crate::written::say::{Hand, Length as WordLength};

/// What one edition prints for each size, and its figures.
pub fn of(p: &Proved) -> Edition {
    let pattern = &p.design.pattern;
    let date = pattern.date.as_ref().map(|d| d.value);
    Edition {
        title: pattern.title.as_str().to_owned(),
        number: pattern.edition.as_str().to_owned(),
        date: date
            .map(|d| document::Date { year: d.year, month: d.month, day: d.day })
            .unwrap_or_default(),
        sizes: (0..p.design.sizes.len()).filter_map(|i| size(p, i)).collect(),
    }
}

fn size(p: &Proved, i: usize) -> Option<Size> {
    let size = p.design.sizes.get(i)?;
    let m = p.measures.sizes.get(i);
    Some(Size {
        id: size.id.clone(),
        name: size.name.clone(),
        sections: printed(p, i),
        numbers: numbers(p, i),
        fit: m.and_then(|m| fit(p, i, m)),
        yarn: m.map(|m| yarn(&p.design, m)).unwrap_or_default(),
    })
}

/// The booklet of one size as lines.
fn printed(p: &Proved, i: usize) -> Vec<Section> {
    let choices = Choices {
        terms: p.design.terms,
        length: WordLength::Abbreviated,
        hand: Hand::Right,
        size: Some(i),
        large: false,
    };
    let document = booklet::sale(p, &choices, None);
    sections(&without_editions(document))
}

/// The list of editions says what changed in its own words; a sheet of corrections that
/// corrected it would speak of itself.
fn without_editions(document: Document) -> Document {
    let mut blocks = Vec::new();
    let mut skip = false;
    for block in document.blocks {
        if let Some(Heading { text, level, .. }) = block.heading() {
            skip = *level > 1 && words(text) == "Editions";
        }
        if !skip {
            blocks.push(block);
        }
    }
    Document { blocks, ..document }
}

fn numbers(p: &Proved, i: usize) -> Vec<Number> {
    let Some(graded) = p.graded.sizes.get(i) else { return Vec::new() };
    let mut out: Vec<Number> = graded
        .traces
        .iter()
        .map(|t| Number { name: t.name.clone(), shown: t.result.to_string() })
        .collect();
    if let Some(pompom) = graded.pompom {
        out.push(Number { name: "pompom".into(), shown: pompom.exact_text() });
    }
    out
}

/// An inch either way where neither the design nor its style of fit says how far a girth
/// may lie from the wish. Our own choice; published hat sizes lie one to two inches apart.
const GIRTH_MARGIN_IN: f64 = 1.0;

fn fit(p: &Proved, i: usize, m: &SizeMeasures) -> Option<Fit> {
    let graded = p.graded.sizes.get(i)?;
    let girth = if m.silhouette.girth > 0.0 { m.silhouette.girth } else { graded.girth.to_mm() };
    let depth = if m.silhouette.depth > 0.0 { m.silhouette.depth } else { graded.depth.to_mm() };
    let named = p.design.fit.fabric.as_ref().and_then(|f| style(&f.value));
    let (least, most) = match named {
        Some(style) => style.girths(graded.head),
        None => {
            let margin = margin(&p.design, graded.girth);
            (graded.girth - margin, graded.girth + margin)
        }
    };
    Some(Fit { girth, depth, least: least.to_mm(), most: most.to_mm() })
}

fn margin(design: &Design, wish: Length) -> Length {
    match design.fit.margin.as_ref().map(|p| p.value) {
        Some(Ease::Length(l)) => l,
        Some(Ease::Percent(p)) => wish * p.share(),
        None => Length::inches(GIRTH_MARGIN_IN),
    }
}

fn yarn(design: &Design, m: &SizeMeasures) -> Vec<Yarn> {
    m.yarn
        .iter()
        .filter(|y| y.mass > 0.0)
        .filter_map(|y| {
            let yarn = design.yarns.get(y.yarn)?;
            let ball = yarn.ball_mass.as_ref().map(|b| b.value.to_grams());
            let balls = yarn.balls_to_use.as_ref().map(|b| b.value);
            Some(Yarn {
                name: yarn.name.as_str().to_owned(),
                grams: y.mass,
                needed: y.mass * (1.0 + y.margin),
                promised: ball.zip(balls).map(|(ball, balls)| ball * balls),
            })
        })
        .collect()
}

/// What the design says each size takes and measures, and what its counts come to in the
/// hands of each tester who made it.
pub fn expected(p: &Proved, cards: &[Card]) -> Vec<Expected> {
    let mut out: Vec<Expected> = p
        .measures
        .sizes
        .iter()
        .map(|m| Expected {
            size: m.id.clone(),
            girth: some_mm(m.silhouette.girth),
            depth: some_mm(m.silhouette.depth),
            yarn: yarn(&p.design, m).into_iter().map(|y| (y.name, Mass::grams(y.grams))).collect(),
            hands: Vec::new(),
        })
        .collect();
    // A card without a finished size asks nothing here.
    for card in cards.iter().filter(|c| c.girth.is_some() || c.depth.is_some()) {
        let hands = in_hands(p, card);
        if let Some(e) = out.iter_mut().find(|e| e.size == card.size.value) {
            e.hands.extend(hands);
        }
    }
    out
}

fn some_mm(n: f64) -> Option<Length> {
    (n > 0.0).then(|| Length::mm(n))
}

/// The hat of a card's size measured at the gauge on the card. None where she left a
/// gauge unmeasured: half her hands and half the design's would be nobody's.
fn in_hands(p: &Proved, card: &Card) -> Option<Hands> {
    let mut hat = proof::hat(p);
    for (of, gauge) in hat.gauges.iter_mut().zip(&p.design.gauges) {
        let swatch = card.swatch(&gauge.name)?;
        let over = swatch.over.as_ref().map_or(gauge.over.value, |o| o.value);
        // The hat was measured before any wear or wash.
        let counted = &swatch.before;
        of.stitch = (over / counted.sts.as_ref()?.value).to_mm();
        of.row = (over / counted.rows.as_ref()?.value).to_mm();
    }
    let size = hat.sizes.iter().position(|s| s.id == card.size.value)?;
    let measured = measures::measure(&hat);
    let shape = &measured.sizes.get(size)?.silhouette;
    let (girth, depth) = (some_mm(shape.girth), some_mm(shape.depth));
    Some(Hands { who: card.who(), girth, depth })
}

/// Girth in millimetres, by size id, of hats made to the old edition's counts by hands
/// whose gauge is the new edition's: what its buyers' hats truly measure.
pub fn as_made(old: &Proved, new: &Design) -> Vec<(String, f64)> {
    let mut hat = proof::hat(old);
    for gauge in &mut hat.gauges {
        if let Some(now) = new.gauge(&gauge.name) {
            gauge.stitch = now.stitch_width().to_mm();
            gauge.row = now.row_height().to_mm();
        }
    }
    let measured = measures::measure(&hat);
    measured
        .sizes
        .into_iter()
        .filter(|m| m.silhouette.girth > 0.0)
        .map(|m| (m.id, m.silhouette.girth))
        .collect()
}
