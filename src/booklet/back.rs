//! After the rounds: finishing, pompom templates, cautions, help and editions.

use super::document::*;
use super::words::{capital, led, list_of};
use super::{Choices, Proved, body, chapter, section};
use crate::design::PompomKind;
use crate::figure::pompom::{self, FurCut, PompomPlan, Words, YarnRing};
use crate::quantity::Length;
use crate::standards::safety::{self, Wearer};

/// The finishing steps.
pub(super) fn finishing(p: &Proved) -> Vec<Block> {
    if p.design.finishing.is_empty() {
        return Vec::new();
    }
    let items = p.design.finishing.iter().map(|s| vec![body(plain(s.as_str()))]).collect();
    vec![chapter("Finishing", "finishing"), Block::List(List { marker: Marker::Number, items })]
}

/// The pompom: what to do, and its template at true scale.
pub(super) fn pompom(p: &Proved, c: &Choices) -> Vec<Block> {
    let Some(wish) = &p.design.pompom else { return Vec::new() };
    let plan = plan(p, c);
    if plan.fur.is_empty() && plan.rings.is_empty() {
        return Vec::new();
    }
    let mut out = vec![chapter("Pompom", "pompom")];
    out.push(body(plain(
        "Print the template at 100 %, never “fit to page”, and measure both squares before you \
         cut: each must be as long on paper as its label says.",
    )));
    if !plan.fur.is_empty() {
        out.push(body(led("Fur. ", fur_words())));
    }
    if !plan.rings.is_empty() {
        out.push(body(led("Yarn. ", ring_words())));
    }
    if let Some(note) = &wish.note {
        out.push(note_of(note.as_str()));
    }
    let figure = |(i, sheet)| {
        let alt = match i {
            0 => pompom::alt(&plan),
            _ => "Pompom template at true size, continued, with its check squares.".to_owned(),
        };
        Block::Figure(Figure { art: Art::Drawing(sheet), alt, caption: None, fit: Fit::TrueScale })
    };
    let words = if c.large { Words::Numbers } else { Words::Whole };
    if c.large {
        let told = pompom::told(&plan).into_iter();
        let items = told.map(|(number, said)| {
            vec![body(led(&format!("{number}. "), format!("{}.", said.join("; "))))]
        });
        out.push(Block::List(List { marker: Marker::Plain, items: items.collect() }));
    }
    let sheets = pompom::sheets(&plan, words, SHEET, &HEIGHTS);
    let mut sheets = sheets.into_iter().enumerate().map(figure);
    // The first sheet stands on the page of its words.
    out.extend(sheets.next());
    let again = |sheet| {
        let words = plain("Print this page too at 100 %, and measure both squares.");
        Block::Keep(vec![section("Pompom (continued)"), body(words), sheet])
    };
    std::iter::once(Block::Keep(out)).chain(sheets.map(again)).collect()
}

/// How wide a sheet may be on both papers, in millimetres.
const SHEET: f64 = 188.0;
/// How high it may be: beside the words, and on the pages after that.
const HEIGHTS: [f64; 2] = [166.0, 200.0];

fn fur_words() -> &'static str {
    "Trace the circle on the backing of the fur, pile side down, and cut the backing only, \
     with small sharp scissors, away from your fingers; shake the loose fibres off over a \
     bin and keep them away from children and pets. Sew a running stitch along the broken \
     line with a strong, doubled thread, pull it up, stuff lightly, close, and leave long \
     ends to sew on with."
}

fn ring_words() -> &'static str {
    "Cut two rings of stiff card. Lay them together and wind yarn through the hole until it \
     is full. Cut round the edge between the cards, tie a strong doubled strand tightly \
     between them, twice round, and slip the cards off. Trim to a ball."
}

/// The template's circles: one for each diameter, naming its sizes where they differ.
pub(crate) fn plan(p: &Proved, c: &Choices) -> PompomPlan {
    let Some(wish) = &p.design.pompom else { return PompomPlan::default() };
    let mut groups: Vec<(Length, Vec<String>)> = Vec::new();
    for (i, size) in p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)) {
        let Some(d) = p.graded.sizes.get(i).and_then(|s| s.pompom) else { continue };
        match groups.iter_mut().find(|(g, _)| g.near(d, Length::mm(0.01))) {
            Some((_, names)) => names.push(size.name.clone()),
            None => groups.push((d, vec![size.name.clone()])),
        }
    }
    if let [(_, names)] = groups.as_mut_slice() {
        names.clear();
    }
    let pile = wish.pile.as_ref().map_or(0.0, |l| l.value.to_mm());
    let mut plan = PompomPlan::default();
    for (d, names) in groups {
        if wish.kind.value != PompomKind::Yarn
            && let Some(cut) = FurCut::for_pompom(d.to_mm(), pile)
        {
            plan.fur.push(FurCut { sizes: names.clone(), ..cut });
        }
        if wish.kind.value != PompomKind::Fur {
            let ring = YarnRing::for_pompom(d.to_mm());
            plan.rings.push(YarnRing { sizes: names, ..ring });
        }
    }
    plan
}

/// The cautions that this design calls for, and nothing else.
pub(super) fn safety(p: &Proved, c: &Choices) -> Vec<Block> {
    let has = |i: usize| {
        let mut has: Vec<&str> =
            p.design.materials.trims.iter().map(|t| t.value.as_str()).collect();
        let pompom = p.graded.sizes.get(i).is_some_and(|s| s.pompom.is_some());
        if let Some(wish) = p.design.pompom.as_ref().filter(|_| pompom) {
            has.push("pompom");
            if wish.kind.value != PompomKind::Yarn {
                has.push("fur");
            }
        }
        if p.design.materials.covers_neck {
            has.push("neck");
        }
        has
    };
    let mut seen: Vec<(&str, &str, Vec<String>)> = Vec::new();
    for (i, size) in p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)) {
        let wearer = Wearer { from_months: size.months.map(|(from, _)| from), has: has(i) };
        for caution in safety::cautions_for(&wearer) {
            match seen.iter_mut().find(|(id, _, _)| *id == caution.id) {
                Some((_, _, sizes)) => sizes.push(size.name.clone()),
                None => seen.push((&caution.id, &caution.text, vec![size.name.clone()])),
            }
        }
    }
    if seen.is_empty() {
        return Vec::new();
    }
    let shown = p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)).count();
    let items = seen
        .into_iter()
        .map(|(_, text, sizes)| {
            let whom =
                if sizes.len() == shown { String::new() } else { format!("{}. ", list_of(&sizes)) };
            let text = if whom.is_empty() { plain(text) } else { led(&whom, text) };
            vec![body(text)]
        })
        .collect();
    vec![
        chapter("Safety", "safety"),
        Block::List(List { marker: Marker::Bullet, items }),
        Block::Paragraph(Paragraph {
            text: plain(
                "These are the usual cautions, not legal advice, and no promise that a hat meets \
                 any rule. Rules differ from place to place and change: before you give or \
                 sell a child's hat, ask those who know the rules where you are.",
            ),
            kind: ParagraphKind::Small,
        }),
    ]
}

/// Help, the video code, and what changed from edition to edition.
pub(super) fn help(p: &Proved) -> Vec<Block> {
    let pattern = &p.design.pattern;
    let mut out = Vec::new();
    if let Some(contact) = &pattern.contact {
        out.push(body(plain(contact.as_str())));
    }
    if let Some(video) = &pattern.video {
        let url = video.url.as_str();
        let mut shown = vec![body(vec![
            Inline::Text("The whole hat is shown on video: ".to_owned()),
            Inline::Link {
                target: Target::Uri(url.to_owned()),
                content: plain(super::front::short_address(url)),
            },
            Inline::Text(". The times beside the stages are its chapters.".to_owned()),
        ])];
        if let Some(code) = crate::figure::code::link(url, 28.0) {
            shown.push(Block::Figure(Figure {
                art: Art::Drawing(code),
                alt: crate::figure::code::alt(url),
                caption: None,
                fit: Fit::TrueScale,
            }));
        }
        out.push(Block::Columns { count: 2, blocks: shown });
    }
    if !p.design.history.is_empty() {
        out.push(section("Editions"));
        let items = p
            .design
            .history
            .iter()
            .map(|h| {
                let date = h
                    .date
                    .as_ref()
                    .map(|d| format!(", {}", super::date(d.value).words()))
                    .unwrap_or_default();
                let head = format!("{}{date}: ", h.edition.as_str());
                vec![body(led(&head, capital(h.change.as_str())))]
            })
            .collect();
        out.push(Block::List(List { marker: Marker::Plain, items }));
    }
    if out.is_empty() {
        return out;
    }
    out.insert(0, chapter("Help and editions", "help"));
    out
}

/// A designer's note.
pub(super) fn note_of(words: &str) -> Block {
    Block::Paragraph(Paragraph { text: plain(words), kind: ParagraphKind::Note })
}
