//! Places to work into.

use super::numbers::Amount;
use super::phrase::Phrase;
use super::voice::Voice;
use crate::written::tree::{
    Base, Extent, Kind, Loop, Number, Part, PlaceKind, Reach, Shape, Target, Words,
};

impl Voice<'_> {
    /// Whether nothing is left of a place: a run of none.
    pub fn vanishes(&self, target: &Target) -> bool {
        match &target.reach {
            Reach::Next(n) | Reach::First(n) | Reach::Last(n) | Reach::All(n) => {
                self.amount(n).is_zero()
            }
            Reach::Remaining(Some(n)) | Reach::Unworked(Some(n)) => self.amount(n).is_zero(),
            _ => false,
        }
    }

    /// The words for a place, without "in". `each` asks for "each of" before a number.
    pub fn place(&self, target: &Target, each: bool) -> Phrase {
        let outer = match &target.part {
            Part::After => return self.gap(target),
            Part::Whole | Part::Below(_) | Part::Post => Phrase::default(),
            Part::Centre(kind) => {
                let centre = self.the(if self.uk() { "centre" } else { "center" });
                match kind {
                    Some(kind) => centre.then(self.kind(*kind, false)),
                    None => centre.then(self.word("st")),
                }
            }
            Part::SpaceOf(chains) => self.the("").then(self.chain_space(chains.as_ref(), false)),
            Part::FirstOf(kind) => self.the("first").then(self.noun_of(*kind)),
            Part::LastOf(kind) => self.the("last").then(self.noun_of(*kind)),
            Part::NthOf(n, kind) => {
                self.the("").bit(self.amount(n).ordinal()).then(self.noun_of(*kind)).kept()
            }
            Part::NthChain(n) => {
                self.the("").bit(self.amount(n).ordinal()).then(self.word("ch")).kept()
            }
        };
        let run = self.run(target, each);
        let run = match &target.part {
            Part::Post => Phrase::of(self.either("post of", "the post of")).then(run),
            Part::Below(n) => {
                let n = self.amount(n);
                let rows = self.course(
                    target.of.as_ref().map_or(self.shape, |n| self.shape_of(n)),
                    !n.is_one(),
                );
                run.then(n.phrase().then(rows).text("below").kept())
            }
            _ => run,
        };
        let said = if outer.is_empty() { run } else { outer.text("of").then(run) };
        match &target.of {
            Some(Number::Plain(0)) => {
                said.text("of").then(self.the("foundation")).then(self.word("ch"))
            }
            Some(n) => said.text("of").then(self.numbered(n)),
            None => said,
        }
    }

    /// The space between a place and the next: `next sp between sts`, `each sp between dc around`.
    fn gap(&self, target: &Target) -> Phrase {
        let between = || Phrase::of("between").then(self.noun(&target.place, true));
        match &target.reach {
            Reach::Each(extent) => {
                Phrase::of("each").then(self.word("sp")).then(between()).then(self.extent(extent))
            }
            Reach::Next(n) => {
                let n = self.amount(n);
                let next = self.the("next");
                let next = if n.is_one() { next } else { next.then(n.phrase()) };
                next.then(self.word_in("sp", !n.is_one())).kept().then(between())
            }
            _ => self.word("sp").then(between()),
        }
    }

    /// `Rnd 2`.
    pub fn numbered(&self, number: &Number) -> Phrase {
        let course = self.course_capital(self.shape_of(number), false);
        course.then(self.amount(number).phrase()).kept()
    }

    /// `row`, `rnds`.
    pub fn course(&self, shape: Shape, several: bool) -> Phrase {
        match shape {
            Shape::Row => Phrase::of(if several { "rows" } else { "row" }),
            Shape::Round => self.word_in("rnd", several),
        }
    }

    /// `Row`, `Rnds`.
    pub fn course_capital(&self, shape: Shape, several: bool) -> Phrase {
        let mut bits = self.course(shape, several).into_bits();
        super::bits::capitalise(&mut bits);
        bits.into_iter().fold(Phrase::default(), Phrase::bit)
    }

    fn noun_of(&self, kind: Option<Kind>) -> Phrase {
        kind.map_or_else(|| self.word("st"), |kind| self.kind(kind, false))
    }

    /// A word with its article where words are written in full.
    pub fn the(&self, word: &str) -> Phrase {
        Phrase::of(self.either("", "the")).text(word)
    }

    /// Which of the places, and how many: `next 5 sts`, `each st around`.
    fn run(&self, target: &Target, each: bool) -> Phrase {
        let place = &target.place;
        match place {
            PlaceKind::Ring => return self.ring(),
            PlaceKind::RowEnd => return self.row_ends(&target.reach),
            PlaceKind::TurningChain(chains) => {
                return self.turning_chain(chains.as_ref(), &target.part);
            }
            _ => {}
        }
        match &target.reach {
            Reach::Next(n) => self.counted("next", n, place, each),
            Reach::First(n) => self.counted("first", n, place, each),
            Reach::Last(n) => self.counted("last", n, place, each),
            Reach::Same => self.the("same").then(self.same_noun(place)),
            Reach::SameAsJoin => self
                .the("same")
                .then(self.same_noun(place))
                .text(self.either("as join", "as the join")),
            Reach::Each(extent) => {
                Phrase::of("each").then(self.noun(place, false)).then(self.extent(extent))
            }
            Reach::Every(n, extent) => {
                let nth = match self.amount(n) {
                    Amount::Same(2) => Phrase::of("every other"),
                    n => Phrase::of("every").bit(n.ordinal()),
                };
                nth.then(self.noun(place, false)).kept().then(self.extent(extent))
            }
            Reach::Remaining(Some(n)) => self.counted("remaining", n, place, each),
            Reach::Remaining(None) => self.the("remaining").then(self.noun(place, true)),
            Reach::Nth(n) => {
                let nth =
                    self.the("").bit(self.amount(n).ordinal()).then(self.noun(place, false)).kept();
                match (place, &target.part) {
                    (PlaceKind::Chain, Part::Whole) if target.of.is_none() => {
                        nth.text(self.either("from hook", "from the hook"))
                    }
                    (PlaceKind::Stitch, Part::Whole) if target.of.is_none() => {
                        nth.text("from fasten off")
                    }
                    _ => nth,
                }
            }
            Reach::Any => Phrase::of("any").then(self.noun(place, false)),
            Reach::Skipped(Number::Plain(0)) => {
                Phrase::of("each").text(self.skipped()).then(self.noun(place, false))
            }
            Reach::Skipped(n) => self.left_over(Some(n), self.skipped(), place),
            Reach::Evenly(Words(words)) if words.is_empty() => Phrase::of("evenly around"),
            Reach::Evenly(Words(words)) => self.free(words),
            Reach::Spread(n) => {
                let n = self.amount(n);
                n.phrase().then(self.noun(place, !n.is_one())).kept().text("evenly spaced")
            }
            Reach::Unworked(n) => self.left_over(n.as_ref(), "unworked", place),
            Reach::All(n) => {
                let n = self.amount(n);
                Phrase::of("all").then(n.phrase().then(self.noun(place, !n.is_one())).kept())
            }
        }
    }

    /// A place pointed back to: a chain space is then merely a space.
    fn same_noun(&self, place: &PlaceKind) -> Phrase {
        match place {
            PlaceKind::ChainSpace(None) => self.word("sp"),
            _ => self.noun(place, false),
        }
    }

    /// What is said of places passed over.
    pub fn skipped(&self) -> &'static str {
        if self.uk() { "missed" } else { "skipped" }
    }

    fn left_over(&self, n: Option<&Number>, how: &str, place: &PlaceKind) -> Phrase {
        match n.map(|n| self.amount(n)) {
            Some(n) if n.is_one() && how != "unworked" => {
                self.the(how).then(self.noun(place, false))
            }
            Some(n) => {
                let run = Phrase::of("next")
                    .then(n.phrase())
                    .text(how)
                    .then(self.noun(place, true))
                    .kept();
                if self.full() { Phrase::of("each of the").then(run) } else { run }
            }
            None => Phrase::of(how).then(self.noun(place, true)),
        }
    }

    fn counted(&self, which: &str, n: &Number, place: &PlaceKind, each: bool) -> Phrase {
        let n = self.amount(n);
        if n.is_one() {
            return self.the(which).then(self.noun(place, false)).kept();
        }
        let run = Phrase::of(which).then(n.phrase()).then(self.noun(place, true)).kept();
        match (self.full(), each) {
            (true, true) => Phrase::of("each of the").then(run),
            (true, false) => Phrase::of("the").then(run),
            (false, true) => Phrase::of("each of").then(run),
            (false, false) => run,
        }
    }

    /// How far "each" or a repeat reaches.
    pub fn extent(&self, extent: &Extent) -> Phrase {
        match extent {
            Extent::End => Phrase::of(self.to_end()),
            Extent::ToLast { count, place } => match self.amount(count) {
                n if n.is_zero() => Phrase::of(self.to_end()),
                n => self.to_last(&n, place),
            },
            Extent::ToTurningChain => {
                Phrase::of("to").then(self.the("turning")).then(self.word("ch"))
            }
            Extent::ToNext(place) => {
                Phrase::of("to").then(self.the("next")).then(self.noun(place, false)).kept()
            }
        }
    }

    /// `around`, `across`, `to end`.
    pub fn to_end(&self) -> &'static str {
        match (self.shape, self.uk()) {
            (Shape::Round, _) => "around",
            (Shape::Row, false) => "across",
            (Shape::Row, true) => "to end",
        }
    }

    /// `to last 3 sts`.
    pub fn to_last(&self, n: &Amount, place: &PlaceKind) -> Phrase {
        let last = Phrase::of("last");
        let last = if n.is_one() {
            last.then(self.noun(place, false))
        } else {
            last.then(n.phrase()).then(self.noun(place, true))
        };
        Phrase::of("to").text(self.either("", "the")).then(last.kept())
    }

    /// What kind of place.
    pub fn noun(&self, place: &PlaceKind, several: bool) -> Phrase {
        match place {
            PlaceKind::Stitch => self.word_in("st", several),
            PlaceKind::Named(kind) => self.kind(*kind, several),
            PlaceKind::Special(i) => self.special(*i, several),
            PlaceKind::AnyOf(kinds) => {
                let last = kinds.len().saturating_sub(1);
                kinds.iter().enumerate().fold(Phrase::default(), |all, (i, kind)| {
                    let all = if i == 0 || i < last { all } else { all.text("and") };
                    let all = if i == 0 || i == last { all } else { all.glue(",") };
                    all.then(self.noun(kind, several))
                })
            }
            PlaceKind::Chain => self.word_in("ch", several),
            PlaceKind::ChainSpace(chains) => self.chain_space(chains.as_ref(), several),
            PlaceKind::Ring => Phrase::of("ring"),
            PlaceKind::RowEnd => Phrase::of(if several { "row ends" } else { "row end" }),
            PlaceKind::TurningChain(chains) => match chains {
                Some(n) => self.sized_chain(n),
                None => Phrase::of("turning").then(self.word("ch")),
            },
            PlaceKind::Between => {
                self.word_in("sp", several).text("between").then(self.word_in("st", true))
            }
            PlaceKind::Fan { count, kind } => self.fan(count.as_ref(), *kind, several),
        }
    }

    /// The ring, or the magic ring that is made by the same words.
    fn ring(&self) -> Phrase {
        if self.makes_ring.replace(false) { self.a("magic ring") } else { self.the("ring") }
    }

    /// A word with the article "a" where words are written in full.
    pub fn a(&self, word: &str) -> Phrase {
        Phrase::of(self.either("", "a")).text(word)
    }

    /// A run of stitches in one place: a corner where it is of short stitches, else a shell.
    fn fan(&self, count: Option<&Number>, kind: Option<Kind>, several: bool) -> Phrase {
        let short = kind.is_some_and(|k| matches!(k.base, Base::Sc | Base::Hdc));
        let noun = match (short, several) {
            (true, false) => "corner",
            (true, true) => "corners",
            (false, false) => "shell",
            (false, true) => "shells",
        };
        match (count, kind) {
            (Some(n), Some(kind)) => {
                let sized = self.amount(n).phrase().glue("-").glue_phrase(self.kind(kind, false));
                sized.text(noun).kept()
            }
            _ => Phrase::of(noun),
        }
    }

    /// `ch-2 sp`, `2-ch sps`.
    pub fn chain_space(&self, chains: Option<&Number>, several: bool) -> Phrase {
        let space = self.word_in("sp", several);
        match chains {
            Some(n) => self.sized_chain(n).then(space).kept(),
            None => self.word("ch").glue("-").glue_phrase(space).kept(),
        }
    }

    /// `ch-3`, `3-ch`.
    pub fn sized_chain(&self, chains: &Number) -> Phrase {
        let n = self.amount(chains).phrase();
        if self.uk() {
            n.glue("-").glue_phrase(self.word("ch")).kept()
        } else {
            self.word("ch").glue("-").glue_phrase(n).kept()
        }
    }

    fn turning_chain(&self, chains: Option<&Number>, part: &Part) -> Phrase {
        let chain = match chains {
            Some(n) => self.the("").then(self.word("beg")).then(self.sized_chain(n)),
            None => self.the("turning").then(self.word("ch")),
        };
        match part {
            Part::NthChain(_) => chain,
            _ => Phrase::of(self.either("top of", "the top of")).then(chain),
        }
    }

    fn row_ends(&self, reach: &Reach) -> Phrase {
        let end = Phrase::of(self.either("end of", "the end of"));
        let some = |which: &str, n: &Number| {
            let n = self.amount(n);
            if n.is_one() {
                return end.clone().then(self.the(which)).text("row");
            }
            let rows = Phrase::of(which).then(n.phrase()).text("rows").kept();
            end.clone().text(self.either("each of", "each of the")).then(rows)
        };
        match reach {
            Reach::Next(n) => some("next", n),
            Reach::First(n) => some("first", n),
            Reach::Last(n) => some("last", n),
            Reach::Same => end.then(self.the("same")).text("row"),
            Reach::Each(extent) => end.text("each row").then(self.extent(extent)),
            _ => end.text("each row"),
        }
    }

    /// `each free front loop of Rnd 2 around`: loops that an earlier round left.
    pub fn free_loops(&self, target: &Target) -> Option<Phrase> {
        let of = target.of.as_ref().filter(|of| **of != Number::Plain(0))?;
        let side = match target.loops {
            Loop::Front => "front",
            Loop::Back => "back",
            _ => return None,
        };
        if target.place != PlaceKind::Stitch || target.part != Part::Whole {
            return None;
        }
        let (which, extent) = match &target.reach {
            Reach::Each(extent) => ("each", self.extent(extent)),
            Reach::Any => ("any", Phrase::default()),
            _ => return None,
        };
        let loops = Phrase::of(which).text("free").text(side).text("loop of");
        Some(loops.then(self.numbered(of)).then(extent))
    }

    /// The words before a place for its loop: `blo`, `in back loop only of`.
    pub fn loop_before(&self, loops: Loop) -> Phrase {
        match loops {
            Loop::Both => Phrase::default(),
            Loop::Back => self.loop_only("blo"),
            Loop::Front => self.loop_only("flo"),
            Loop::Third => Phrase::of(self.either("in third loop of", "in the third loop of")),
            Loop::Bump => Phrase::of(self.either("in back bump of", "in the back bump of")),
        }
    }

    /// The words before a place for its loop where "in" must come first.
    pub fn in_loop(&self, loops: Loop) -> Phrase {
        match loops {
            Loop::Back if !self.full() => Phrase::of("in").then(self.word("blo")).text("of"),
            Loop::Front if !self.full() => Phrase::of("in").then(self.word("flo")).text("of"),
            _ => self.loop_before(loops),
        }
    }

    fn loop_only(&self, id: &str) -> Phrase {
        if self.full() {
            Phrase::of("in the").then(self.word(id)).text("of")
        } else {
            self.word(id).text("in")
        }
    }
}
