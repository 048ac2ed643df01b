//! A piece that hangs outside the head: girth and depth are those of the hat without it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use sound::proved;

const BALL: &str = include_str!("designs/last-ball.toml");

/// The tube of the design, its last rounds doubled: a brim of 1.5 cm, 200 sts round.
const BRIM: &str = r#"
[[piece]]
name = "Brim"
worked = "joined rounds"
from = "Body"
text = """
Rnd 1: Ch 1, 2 sc in each st around, join with sl st in first sc. ({2 * sts} sc)
Rnds 2-3: Ch 1, sc in each st around, join with sl st in first sc. ({2 * sts} sc)
Fasten off.
"""
"#;

/// By hand: 100 sts of 0.5 cm are 50 cm, 35 rounds of 0.5 cm are 17.5 cm; the brim is 200 sts
/// and 3 rounds more.
#[test]
fn a_brim_is_no_part_of_girth_and_depth() {
    let at = BALL.rfind("[[piece]]").unwrap();
    let body = BALL[..at].replace("until_ball_ends = { rounds = \"even\", keep = \"3 g\" }\n", "");
    let of = |brim: &str| {
        let p = proved(&format!("{body}{brim}"));
        let grams = p.measures.sizes[0].yarn[0].mass;
        (
            p.girth(0).unwrap().to_cm(),
            p.depth(0).unwrap().to_cm(),
            grams,
            p.measures.sizes[0].silhouette.extras.len(),
        )
    };
    let bare = of("");
    let worn = of(&BRIM.replace("from =", "beyond = true\nfrom ="));
    let counted = of(BRIM);
    assert_eq!((bare.0, bare.1, bare.3), (50.0, 17.5, 0));
    assert_eq!((worn.0, worn.1, worn.3), (50.0, 17.5, 1));
    // Without the key it is taken for a part of the hat; the yarn is the same.
    assert!(counted.1 > 18.5 && counted.3 == 0, "{counted:?}");
    assert_eq!(worn.2, counted.2);
    assert!(worn.2 > bare.2 + 8.0, "{} against {}", worn.2, bare.2);
}
