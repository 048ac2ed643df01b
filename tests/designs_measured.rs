//! The shipped designs measured and drawn: what every size comes to.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod drawn;
mod sound;

use brimwright::booklet::document::{Block, Cell, Inline, Table};
use brimwright::booklet::{Choices, sale};
use brimwright::figure::chart::{ChartOptions, chart};
use brimwright::figure::schematic::{self, Look, Sized};
use brimwright::quantity::Units;
use brimwright::written::say::{Hand, Length};
use sound::{SHIPPED, proved};

/// What is wished for and what is worked may differ by one round or one repeat.
const ROUND: f64 = 20.0;

#[test]
fn every_size_of_every_design_comes_out_near_its_wish() {
    for (name, text) in SHIPPED {
        let p = proved(text);
        for (m, wish) in p.measures.sizes.iter().zip(&p.graded.sizes) {
            let s = &m.silhouette;
            let (girth, depth) = (s.girth - wish.girth.to_mm(), s.depth - wish.depth.to_mm());
            assert!(girth.abs() <= ROUND, "{name} {}: girth off by {girth:.0} mm", m.id);
            assert!(depth.abs() <= ROUND, "{name} {}: depth off by {depth:.0} mm", m.id);
            let along: f64 = s.bands.iter().map(|b| b.length).sum();
            assert!((along - s.depth - s.fold).abs() < 1e-6, "{name} {}", m.id);
            assert!(
                s.rise <= s.depth + 1e-6,
                "{name} {}: a hat rises no more than it is deep",
                m.id
            );
            assert!(m.yarn.iter().all(|y| y.mass > 5.0 && y.mass < 250.0), "{name} {:?}", m.yarn);
        }
        let girths = p.measures.sizes.windows(2);
        for pair in girths {
            let [a, b] = pair else { continue };
            assert!(a.silhouette.girth <= b.silhouette.girth, "{name}: {} and {}", a.id, b.id);
        }
        assert!(p.measures.promises.iter().flat_map(|p| &p.spare).all(|s| *s > 0.0), "{name}");
    }
}

#[test]
fn tops_are_what_the_text_makes_them() {
    use brimwright::measures::Top;
    let top = |name: &str| {
        let (_, text) = SHIPPED.iter().find(|(n, _)| *n == name).unwrap();
        proved(text).measures.sizes[0].silhouette.top
    };
    assert_eq!(top("harbour-rib"), Top::Gathered);
    assert_eq!(top("weir-turn"), Top::Gathered);
    assert_eq!(top("tide-pool"), Top::Closed);
    assert_eq!(top("millstone"), Top::Closed);
    assert_eq!(top("post-road"), Top::Open);
}

#[test]
fn every_design_has_a_schematic_and_charts() {
    let mut charts = 0;
    for (name, text) in SHIPPED {
        let p = proved(text);
        let names: Vec<&str> = p.design.pieces.iter().map(|p| p.name.as_str()).collect();
        let sizes = p.design.sizes.iter().zip(&p.measures.sizes);
        let sized: Vec<Sized> = sizes
            .map(|(s, m)| Sized { name: &s.name, shape: &m.silhouette, pieces: &names })
            .collect();
        let schematic = schematic::drawing(&sized, &Look::ordinary(Units::Metric)).expect(name);
        drawn::keep_svg(&format!("{name}-schematic"), &schematic);
        assert!(schematic.width <= 170.0 && schematic.height <= 200.0, "{name}");
        for (i, piece) in p.pieces.iter().enumerate() {
            for worked in piece.worked.iter().flatten() {
                let Some(made) = chart(&worked.fabric, &ChartOptions::default()) else { continue };
                charts += 1;
                let d = &made.drawing;
                assert!(d.width <= 165.01 && d.height <= 220.01, "{name} {i}");
                drawn::keep_svg(&format!("{name}-chart-{i}"), d);
            }
        }
    }
    assert!(charts > 90, "{charts} charts of nine designs in six sizes or so");
}

/// The yarn table says what each size leaves of its balls: with what it takes, that is what
/// so many of the design file's own balls hold.
#[test]
fn what_is_left_of_the_promised_balls_is_printed() {
    let words = |cell: &Cell| -> String {
        cell.text.iter().map(|i| if let Inline::Text(t) = i { t.as_str() } else { "" }).collect()
    };
    let mut rows = 0;
    for (name, text) in SHIPPED {
        let p = proved(text);
        let choices = Choices {
            terms: p.design.terms,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: None,
            large: false,
        };
        let document = sale(&p, &choices, None);
        let has = |t: &Table| t.head.iter().flatten().any(|c| words(c) == "Left over");
        let mut tables = document.blocks.iter().filter_map(|b| match b {
            Block::Table(t) if has(t) => Some(t),
            _ => None,
        });
        let table = tables.next().unwrap_or_else(|| panic!("{name} promises balls"));
        let head: Vec<String> = table.head[0].iter().map(words).collect();
        let column = |of: &str| head.iter().position(|h| h == of).unwrap();
        let grams = |cell: &Cell| -> f64 {
            words(cell).split('\u{a0}').next().unwrap().parse().expect(name)
        };
        let file: toml::Table = toml::from_str(text).unwrap();
        let yarns = file["yarn"].as_array().unwrap();
        for (i, row) in table.body.iter().enumerate() {
            let yarn = &yarns[i % yarns.len()];
            let ball: f64 =
                yarn["ball"]["mass"].as_str().unwrap().trim_end_matches(" g").parse().unwrap();
            let balls: f64 = words(&row[column("Balls")]).parse().unwrap();
            assert!(balls <= yarn["balls_to_use"].as_integer().unwrap() as f64, "{name}");
            let both = grams(&row[column("Mass")]) + grams(&row[column("Left over")]);
            assert!((both - ball * balls).abs() < 1e-6, "{name}, row {i}: {both}");
            rows += 1;
        }
    }
    assert!(rows >= 54, "{rows} rows of nine designs in six sizes or more");
}
