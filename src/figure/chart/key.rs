//! The key: every symbol that the chart uses, with its name.

use super::{LINE, WORDS};
use crate::fabric::{Fabric, Loop};
use crate::figure::pen::{words, wrapped};
use crate::figure::symbols::{self, Place};
use crate::figure::{Anchor, Drawing};
use crate::standards::stitches::{Base, Kind, Terms};

const UNIT: f64 = 3.0;

/// Names are wrapped at this width where the key has but one column, in millimetres.
const NAME: f64 = 44.0;

/// The key in as many columns as the width holds, at least one.
pub(super) fn key(used: &[(Kind, Loop)], fabric: &Fabric, terms: Terms, width: f64) -> Drawing {
    let names = used.iter().map(|(k, l)| name(*k, *l, fabric, terms));
    let longest = if width > 0.0 { width } else { NAME };
    let names: Vec<Vec<String>> = names.map(|n| wrapped(&n, WORDS, longest)).collect();
    let widest = names.iter().flatten().map(|n| super::room_for(n, WORDS)).fold(20.0, f64::max);
    let column = widest + 12.0;
    let columns = ((width / column) as usize).clamp(1, 3);
    let deep = used.len().div_ceil(columns);
    let width = width.min(super::whole(columns) * (column + 10.0)).max(column);
    let mut d = Drawing { width, height: 0.0, marks: Vec::new() };
    let mut y = vec![0.0; columns];
    for (i, ((kind, loops), name)) in used.iter().zip(&names).enumerate() {
        let at = i / deep.max(1);
        let x = super::whole(at) * width / super::whole(columns);
        let said = LINE * super::whole(name.len());
        let tall = (symbols::height(*kind) * UNIT).max(3.4).max(said) + 3.0;
        let Some(top) = y.get_mut(at) else { continue };
        let middle = *top + (tall + 1.5) / 2.0 - 0.75;
        let foot = middle + symbols::height(*kind) * UNIT / 2.0;
        let legs = usize::from(kind.together.clamp(1, 3));
        let feet = (0..legs).map(|n| {
            (x + 4.5 + (super::whole(n) - super::whole(legs - 1) / 2.0) * 0.9 * UNIT, foot)
        });
        let head = (x + 4.5, foot - symbols::height(*kind) * UNIT);
        let place = Place { feet: feet.collect(), head, unit: UNIT, loops: *loops };
        d.marks.extend(symbols::draw(*kind, &place));
        for (n, line) in name.iter().enumerate() {
            let down = middle - said / 2.0 + LINE * (super::whole(n) + 1.0) - 0.9;
            d.say(words((x + 10.0, down), line.as_str(), WORDS, Anchor::Start));
        }
        *top += tall;
    }
    d.height = y.iter().copied().fold(0.0, f64::max);
    d
}

/// A symbol's name: short, then in full.
pub(super) fn name(kind: Kind, loops: Loop, fabric: &Fabric, terms: Terms) -> String {
    let short = kind.name(terms, &fabric.specials);
    let long = kind.long_name(terms, &fabric.specials);
    let through = match loops {
        Loop::Both => "",
        Loop::Back => ", back loop only",
        Loop::Front => ", front loop only",
        Loop::Third => ", third loop",
        Loop::Bump => ", back bump",
    };
    let through = if matches!(kind.base, Base::Ch | Base::SlSt) { "" } else { through };
    if short == long { format!("{short}{through}") } else { format!("{short}: {long}{through}") }
}
