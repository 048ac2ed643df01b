//! The stitches: their names in US and UK terms, and how many places each uses up.
//!
//! A [`Kind`] is a basic stitch and what is done to it: worked round a post, extended, as
//! its own foundation, in reverse, several drawn together. Names follow from the parts
//! (`fp` + `dc` + `2tog`), so only the basic stitches are a table: `data/stitches.toml`.

use serde::Deserialize;
use std::sync::LazyLock;

/// The two sets of names for the same stitches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Terms {
    /// American names: the shortest stitch with body is the single crochet.
    #[default]
    Us,
    /// British names: the same stitch is the double crochet.
    Uk,
}

/// A basic stitch, by its US name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Base {
    SlSt,
    Ch,
    Sc,
    Hdc,
    Dc,
    Tr,
    Dtr,
    Trtr,
    Cluster,
    Puff,
    Bobble,
    Popcorn,
    Picot,
    /// A stitch the design defines for itself: its place in the piece's list of specials.
    Special(u8),
}

/// The basic stitches in the order of the table.
const BASES: [(Base, &str); 13] = [
    (Base::SlSt, "sl-st"),
    (Base::Ch, "ch"),
    (Base::Sc, "sc"),
    (Base::Hdc, "hdc"),
    (Base::Dc, "dc"),
    (Base::Tr, "tr"),
    (Base::Dtr, "dtr"),
    (Base::Trtr, "trtr"),
    (Base::Cluster, "cl"),
    (Base::Puff, "puff"),
    (Base::Bobble, "bobble"),
    (Base::Popcorn, "pc"),
    (Base::Picot, "picot"),
];

/// Round which side of the post below a stitch is worked, if round a post at all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Post {
    /// Into the top, as usual.
    #[default]
    No,
    /// Round the post from the front.
    Front,
    /// Round the post from the back.
    Back,
}

/// What else is done to a basic stitch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Form {
    /// Nothing.
    #[default]
    Plain,
    /// With one more chain at its foot (esc, ehdc, edc).
    Extended,
    /// Made together with its own foundation chain (fsc, fhdc, fdc).
    Foundation,
    /// Worked backwards along the edge (rsc, crab stitch).
    Reverse,
    /// Worked into a lower round (spike, long).
    Spike,
}

/// One kind of stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Kind {
    /// The basic stitch.
    pub base: Base,
    /// Round the post below, or not.
    pub post: Post,
    /// What else is done to it.
    pub form: Form,
    /// How many are drawn together into one; 1 for a plain stitch.
    pub together: u8,
}

impl Kind {
    /// The chain stitch.
    pub const CH: Kind = Kind::plain(Base::Ch);
    /// The slip stitch.
    pub const SL_ST: Kind = Kind::plain(Base::SlSt);
    /// US single crochet.
    pub const SC: Kind = Kind::plain(Base::Sc);

    /// A basic stitch with nothing done to it.
    pub const fn plain(base: Base) -> Kind {
        Kind { base, post: Post::No, form: Form::Plain, together: 1 }
    }

    /// Whether it is of one of the basic heights, single crochet to triple treble: a slip
    /// stitch, a chain and a bobble have none of their own.
    pub const fn is_of_a_height(self) -> bool {
        matches!(self.base, Base::Sc | Base::Hdc | Base::Dc | Base::Tr | Base::Dtr | Base::Trtr)
    }

    /// `n` of these drawn together.
    pub const fn tog(self, n: u8) -> Kind {
        Kind { together: n, ..self }
    }

    /// One of those that are drawn together.
    pub const fn single(self) -> Kind {
        self.tog(1)
    }

    /// How many places of the row below one stitch uses up when it is worked in turn.
    pub fn bases(self) -> u32 {
        u32::from(self.together.max(1))
    }

    /// Its height as the number of chains that reach as high.
    pub fn height(self) -> u8 {
        row(self.base).map_or(3, |r| r.height) + u8::from(self.form == Form::Extended)
    }

    /// The customary number of turning chains before it.
    pub fn turning_chains(self) -> u8 {
        row(self.base).map_or(3, |r| r.turning_chains)
    }

    /// The short name. `specials` are the names of the design's own stitches, in order.
    pub fn name(self, terms: Terms, specials: &[String]) -> String {
        let core = match self.base {
            Base::Special(i) => specials.get(usize::from(i)).map_or("special", String::as_str),
            base => row(base).map_or("", |r| match terms {
                Terms::Us => &r.us,
                Terms::Uk => &r.uk,
            }),
        };
        let tog = match self.together {
            0 | 1 => String::new(),
            n => format!("{n}tog"),
        };
        let form = match self.form {
            Form::Plain => "",
            Form::Extended => "e",
            Form::Foundation => "f",
            Form::Reverse => "r",
            Form::Spike => "spike ",
        };
        match (self.post, terms) {
            (Post::No, _) => format!("{form}{core}{tog}"),
            (Post::Front, Terms::Us) => format!("fp{form}{core}{tog}"),
            (Post::Back, Terms::Us) => format!("bp{form}{core}{tog}"),
            // British abbreviations of raised stitches enclose the stitch: rtrf, rtrb.
            (Post::Front, Terms::Uk) => format!("r{form}{core}f{tog}"),
            (Post::Back, Terms::Uk) => format!("r{form}{core}b{tog}"),
        }
    }

    /// The name spelled out, in the singular.
    pub fn long_name(self, terms: Terms, specials: &[String]) -> String {
        let core = match self.base {
            Base::Special(i) => specials.get(usize::from(i)).map_or("special", String::as_str),
            base => row(base).map_or("", |r| match terms {
                Terms::Us => &r.us_long,
                Terms::Uk => &r.uk_long,
            }),
        };
        let post = match (self.post, terms) {
            (Post::No, _) => "",
            (Post::Front, Terms::Us) => "front post ",
            (Post::Back, Terms::Us) => "back post ",
            (Post::Front, Terms::Uk) => "raised front ",
            (Post::Back, Terms::Uk) => "raised back ",
        };
        let form = match self.form {
            Form::Plain => "",
            Form::Extended => "extended ",
            Form::Foundation => "foundation ",
            Form::Reverse => "reverse ",
            Form::Spike => "spike ",
        };
        match self.together {
            0 | 1 => format!("{post}{form}{core}"),
            n => format!("{post}{form}{core} {n} together"),
        }
    }
}

/// One line of the table.
#[derive(Deserialize)]
struct Row {
    base: String,
    us: String,
    uk: String,
    us_long: String,
    uk_long: String,
    height: u8,
    turning_chains: u8,
}

#[derive(Default, Deserialize)]
struct Table {
    stitch: Vec<Row>,
}

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let table: Table = toml::from_str(include_str!("data/stitches.toml")).unwrap_or_default();
    // Kept in the order of `BASES`, so that looking a stitch up is an index.
    let mut rows = table.stitch;
    rows.sort_by_key(|r| BASES.iter().position(|(_, name)| *name == r.base));
    rows
});

fn row(base: Base) -> Option<&'static Row> {
    let i = BASES.iter().position(|(b, _)| *b == base)?;
    TABLE.get(i)
}

/// The basic stitch of this name in the tables.
pub(super) fn of_table(name: &str) -> Option<Base> {
    BASES.iter().find(|(_, n)| *n == name).map(|(base, _)| *base)
}

/// The basic stitches with their short and long names, for the reader's word list and the
/// booklet's list of abbreviations.
pub fn basics() -> impl Iterator<Item = Kind> {
    BASES.iter().map(|(b, _)| Kind::plain(*b))
}

/// Every name of a standard stitch in one set of terms with its name in the other, longest
/// first and in small letters.
fn renamings(from: Terms, to: Terms) -> Vec<(String, String)> {
    let forms = [Form::Plain, Form::Extended, Form::Foundation, Form::Reverse];
    let posts = [Post::No, Post::Front, Post::Back];
    let mut out: Vec<(String, String)> = Vec::new();
    for kind in basics() {
        let all = forms.iter().flat_map(|f| posts.map(|p| (*f, p)));
        for (form, post) in all.filter(|(f, p)| *f == Form::Plain || *p == Post::No) {
            for together in 1..=MOST_TOGETHER {
                let kind = Kind { form, post, together, ..kind };
                let (old, new) = (kind.long_name(from, &[]), kind.long_name(to, &[]));
                // Said short: "half treble", "treble"; "single" and "double" alone are none.
                let bare = |name: &str| name.replace(" crochet", "");
                if !["single", "double"].iter().any(|w| bare(&old).ends_with(w))
                    || kind.base == Base::Hdc
                {
                    out.push((bare(&old), new.clone()));
                }
                out.push((old, new));
                out.push((kind.name(from, &[]), kind.name(to, &[])));
            }
        }
    }
    out.sort_by_key(|(old, _)| std::cmp::Reverse(old.len()));
    out
}

/// As many drawn together as prose names.
const MOST_TOGETHER: u8 = 6;

/// Words of a person with the standard stitches they name told in the other terms: "half
/// double crochet in rounds" becomes "half treble crochet in rounds". Words that hold no
/// stitch, and names of the design's own, stay as they are.
pub fn renamed(words: &str, from: Terms, to: Terms) -> String {
    if from == to {
        return words.to_owned();
    }
    let names = renamings(from, to);
    // Sought in ASCII small letters, so that places are the same in both.
    let low = words.to_ascii_lowercase();
    let part_of_word = |c: char| c.is_alphanumeric();
    let mut out = String::with_capacity(words.len());
    let mut at = 0;
    let mut before = None;
    while let Some(rest) = low.get(at..).filter(|r| !r.is_empty()) {
        let begins = !before.is_some_and(part_of_word);
        let found = names.iter().filter(|_| begins).find_map(|(old, new)| {
            let after = rest.strip_prefix(old.as_str())?;
            let after = after.strip_prefix('s').unwrap_or(after);
            (!after.chars().next().is_some_and(part_of_word)).then_some((old, new))
        });
        let length = match found {
            Some((old, new)) => {
                let large = words.get(at..).is_some_and(|w| w.starts_with(char::is_uppercase));
                match new.chars().next() {
                    Some(first) if large => {
                        out.extend(first.to_uppercase());
                        out.extend(new.chars().skip(1));
                    }
                    _ => out.push_str(new),
                }
                old.len()
            }
            None => {
                let kept = words.get(at..).and_then(|w| w.chars().next());
                out.extend(kept);
                kept.map_or(1, char::len_utf8)
            }
        };
        at += length;
        before = low.get(..at).and_then(|w| w.chars().next_back());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_names_every_basic_stitch_in_order() {
        assert_eq!(TABLE.len(), BASES.len());
        for ((_, key), row) in BASES.iter().zip(TABLE.iter()) {
            assert_eq!(*key, row.base);
        }
    }

    #[test]
    fn stitches_in_prose_change_their_names_and_nothing_else_does() {
        let cases = [
            (
                "half double crochet in the back loop only",
                "half treble crochet in the back loop only",
            ),
            ("Double crochet in a spiral", "Treble crochet in a spiral"),
            ("single crochets, then hdc blo", "double crochets, then htr blo"),
            ("fpdc/bpdc rib", "rtrf/rtrb rib"),
            ("dc2tog, sc and tr", "tr2tog, dc and dtr"),
            ("half double, treble", "half treble crochet, double treble crochet"),
            ("V-stitch in rounds, yarn held double", "V-stitch in rounds, yarn held double"),
            ("lüster and descent", "lüster and descent"),
            ("", ""),
        ];
        for (us, uk) in cases {
            assert_eq!(renamed(us, Terms::Us, Terms::Uk), uk);
            assert_eq!(renamed(us, Terms::Us, Terms::Us), us);
        }
        let us = |uk| renamed(uk, Terms::Uk, Terms::Us);
        assert_eq!(us("double crochet in a spiral"), "single crochet in a spiral");
        assert_eq!(us("half trebles and trebles"), "half double crochets and double crochets");
        assert_eq!(us("sc and hdc"), "sc and hdc");
    }

    #[test]
    fn names_follow_from_the_parts() {
        let dc = Kind::plain(Base::Dc);
        let fpdc2tog = Kind { post: Post::Front, ..dc.tog(2) };
        assert_eq!(fpdc2tog.name(Terms::Us, &[]), "fpdc2tog");
        assert_eq!(Kind { post: Post::Back, ..dc }.name(Terms::Uk, &[]), "rtrb");
        assert_eq!(Kind::SC.name(Terms::Uk, &[]), "dc");
        assert_eq!(dc.tog(3).long_name(Terms::Uk, &[]), "treble crochet 3 together");
    }
}
