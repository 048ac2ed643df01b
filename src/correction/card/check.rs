//! Cards beside their design and beside each other.

use super::model::{Card, Counted, Swatch, edition_order};
use super::plausible;
use crate::design::{Date, Design, Gauge, Placed, unknown_name};
use crate::diag::{Finding, Place, any_fault};
use crate::limits;
use crate::quantity::{Length, number};

/// The cards that can be used, and what was said of them all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sifted {
    /// One card for each tester and size, in the order given. None of them has a fault.
    pub cards: Vec<Card>,
    /// Whether each was made from the design's present edition; an older card's gauge is
    /// used, its finished size and yarn are not.
    pub present: Vec<bool>,
    /// What is wrong or worth knowing.
    pub findings: Vec<Finding>,
}

/// Holds every card against the design and the others. A card with a fault is left out;
/// of two cards of one tester for one size the later by date is kept, or the later given
/// where the dates are equal, and a caution says so.
pub fn sift(design: &Design, cards: Vec<Card>) -> Sifted {
    let mut out = Sifted::default();
    if cards.len() > limits::CARDS {
        let message = format!("{} cards; the most is {}", cards.len(), limits::CARDS);
        out.findings.push(Finding::fault("limit", message));
        return out;
    }
    for card in cards {
        let findings = against(design, &card);
        let fine = !any_fault(&findings);
        out.findings.extend(findings);
        if fine {
            keep(&mut out, card);
        }
    }
    let now = edition_order(design.pattern.edition.as_str());
    out.present = out.cards.iter().map(|c| edition_order(&c.edition.value) == now).collect();
    out
}

/// Adds a card, or puts it in the place of an earlier one of the same tester and size.
fn keep(out: &mut Sifted, card: Card) {
    let same = |c: &Card| c.who() == card.who() && c.size.value == card.size.value;
    let Some(first) = out.cards.iter_mut().find(|c| same(c)) else {
        out.cards.push(card);
        return;
    };
    let message = format!(
        "two cards of {} for {}: {} and {}",
        card.tester.value, card.size.value, first.date.value, card.date.value
    );
    let (kept, left) = if card.date.value >= first.date.value {
        let left = std::mem::replace(first, card);
        (&*first, left)
    } else {
        (&*first, card)
    };
    out.findings.push(
        Finding::caution("card-twice", message)
            .at(kept.date.place, "the later one is used")
            .label(left.date.place, "this one is left out")
            .help("leave out the card that no longer holds"),
    );
}

fn against(design: &Design, card: &Card) -> Vec<Finding> {
    let mut found = Vec::new();
    belongs(design, card, &mut found);
    let yarn = |name: &str| design.yarn(name);
    let names: Vec<&str> = design.gauges.iter().map(|g| g.name.as_str()).collect();
    for swatch in &card.gauges {
        match design.gauge(&swatch.name) {
            Some(gauge) => swatch_figures(design, gauge, swatch, &mut found),
            None => found.push(unknown_name("gauge", &swatch.name, swatch.place, &names)),
        }
    }
    let names: Vec<&str> = design.yarns.iter().map(|y| y.name.as_str()).collect();
    for weighed in card.yarn.iter().filter(|w| yarn(&w.name).is_none()) {
        found.push(unknown_name("yarn", &weighed.name, weighed.place, &names));
    }
    complete(design, card, &mut found);
    finished(design, card, &mut found);
    found
}

/// Whether the card is for this design, an edition that exists, and a size it has.
fn belongs(design: &Design, card: &Card, found: &mut Vec<Finding>) {
    let title = design.pattern.title.as_str();
    if card.title.value.trim() != title.trim() {
        let message = format!("this card is for “{}”, not for “{title}”", card.title.value);
        found.push(
            Finding::fault("card-title", message)
                .at(card.title.place, "another design")
                .help("leave the card out, or mend its title if the design was renamed"),
        );
    }
    let (now, then) = (design.pattern.edition.as_str(), card.edition.value.as_str());
    let tester = &card.tester.value;
    match edition_order(then).cmp(&edition_order(now)) {
        std::cmp::Ordering::Greater => found.push(
            Finding::fault(
                "card-edition",
                format!("{tester}'s card is for edition {then}; this design file is edition {now}"),
            )
            .at(card.edition.place, "newer than the design")
            .help("use the newer design file, or mend the edition on the card"),
        ),
        std::cmp::Ordering::Less => found.push(
            Finding::caution(
                "card-edition",
                format!(
                    "{tester}'s card is for edition {then}, before the present {now}: her gauge is \
                     used, her finished size and yarn are not"
                ),
            )
            .at(card.edition.place, "an earlier edition"),
        ),
        std::cmp::Ordering::Equal => {}
    }
    let sizes: Vec<&str> = design.sizes.iter().map(|s| s.id.as_str()).collect();
    if !sizes.contains(&card.size.value.as_str()) {
        found.push(unknown_name("size", &card.size.value, card.size.place, &sizes));
    }
}

/// The day on the blank card.
const NO_DAY: Date = Date { year: 2000, month: 1, day: 1 };

/// The newest day on any card, the blank card's aside.
pub fn newest(cards: &[Card]) -> Option<Date> {
    cards.iter().map(|c| c.date.value).filter(|d| *d != NO_DAY).max()
}

/// Says which fabrics the card has no gauge of.
fn complete(design: &Design, card: &Card, found: &mut Vec<Finding>) {
    let measured = |name: &str| {
        card.swatch(name).is_some_and(|s| s.before.sts.is_some() || s.after.sts.is_some())
    };
    if card.date.value == NO_DAY {
        let message = format!("{}'s card has no date filled in", card.tester.value);
        found.push(
            Finding::caution("card-incomplete", message)
                .at(card.date.place, "the blank card's")
                .help("of two cards of one tester the later by date is used"),
        );
    }
    let missing: Vec<&str> =
        design.gauges.iter().map(|g| g.name.as_str()).filter(|n| !measured(n)).collect();
    if missing.is_empty() {
        return;
    }
    let who = &card.tester.value;
    let names = missing.join(" and ");
    let finding = if missing.len() == design.gauges.len() {
        let message = format!("{who}'s card has no stitches counted: it says nothing of the gauge");
        Finding::fault("card-incomplete", message).help("fill in `before = { sts = …, rows = … }`")
    } else {
        let message = format!("{who}'s card has no stitches counted for {names}");
        Finding::caution("card-incomplete", message).help("she is left out there")
    };
    found.push(finding.at(card.tester.place, ""));
}

fn swatch_figures(design: &Design, gauge: &Gauge, swatch: &Swatch, found: &mut Vec<Finding>) {
    let yarn = match &gauge.yarn {
        Some(name) => design.yarn(&name.value),
        None => design.yarns.first(),
    };
    let weight = yarn.and_then(|y| y.weight.as_ref()).map(|w| w.value);
    let sts = plausible::stitches(weight.and_then(plausible::published));
    let over = swatch.over.as_ref().map_or(gauge.over.value, |o| o.value);
    let yarn_words = weight.map(|w| format!(" of a yarn of weight {w}")).unwrap_or_default();
    for (counted, when) in [(&swatch.before, "before"), (&swatch.after, "after")] {
        let Counted { sts: s, rows: r } = counted;
        for (what, figure, bounds) in [("sts", s, sts), ("rows", r, plausible::rows(sts))] {
            let Some(figure) = figure else { continue };
            let ten = figure.value * (Length::cm(10.0) / over);
            if ten < bounds.0 || ten > bounds.1 {
                found.push(impossible(what, when, figure, ten, bounds, &yarn_words, over));
            }
        }
    }
}

fn impossible(
    what: &str,
    when: &str,
    figure: &Placed<f64>,
    ten: f64,
    (low, high): (f64, f64),
    yarn: &str,
    over: Length,
) -> Finding {
    let message = format!(
        "{} {what} over {} {when} washing is {} to 10 cm{yarn}: no fabric has that",
        number(figure.value, 2),
        over.cm_text(),
        number(ten, 1),
    );
    let help = format!(
        "between {} and {} to 10 cm could be; check the length counted over, and its unit",
        number(low, 1),
        number(high, 1)
    );
    Finding::fault("card-impossible", message).at(figure.place, "").help(help)
}

fn finished(design: &Design, card: &Card, found: &mut Vec<Finding>) {
    let Some((_, size)) = design.size(&card.size.value) else { return };
    let both = [
        ("girth", &card.girth, plausible::girth(size.head)),
        ("depth", &card.depth, plausible::depth(size.head)),
    ];
    for (what, length, (low, high)) in both {
        let Some(Placed { value, place }) = length else { continue };
        if *value < low || *value > high {
            found.push(unlikely(what, *value, *place, size.name.as_str(), (low, high)));
        }
    }
}

fn unlikely(
    what: &str,
    value: Length,
    place: Place,
    size: &str,
    (low, high): (Length, Length),
) -> Finding {
    let message = format!("a {what} of {} is no {size} hat", value.cm_text());
    let help = format!(
        "between {} and {} could be; check the unit and the size",
        low.cm_text(),
        high.cm_text()
    );
    Finding::fault("card-impossible", message).at(place, "").help(help)
}
