//! What is done, step by step.

use super::labels::from_to;
use super::numbers::Amount;
use super::phrase::{Phrase, listed};
use super::repeats::Depth;
use super::voice::Voice;
use crate::written::tree::*;

/// Numbers in words.
const SMALL: [&str; 11] =
    ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/// What a place takes, which tells the word before it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum MadeAs {
    /// Stitches into the top.
    Stitch,
    /// Stitches around the post.
    Post,
    /// Several in brackets.
    Group,
}

impl Voice<'_> {
    /// One step; `None` for one of nothing.
    pub fn act(&self, act: &Act, depth: Depth) -> Option<Phrase> {
        Some(match act {
            Act::Chain(chain) => self.chain(chain)?,
            Act::Work(working) => self.working(working, depth)?,
            Act::Skip(target) if self.vanishes(target) => return None,
            Act::Skip(target) => {
                Phrase::of(if self.uk() { "miss" } else { "skip" }).then(self.place(target, false))
            }
            Act::Turn => Phrase::of("turn"),
            Act::NoTurn => Phrase::of("do not turn"),
            Act::Ring => Phrase::of("magic ring"),
            Act::Join(join) => self.join(join),
            Act::NoJoin => Phrase::of("do not join"),
            Act::Repeat(repeat) => self.repeat(repeat, depth)?,
            Act::Rejoin(rejoin) => self.rejoin(rejoin),
            Act::Leave(leave) => self.leave(leave)?,
            Act::Colour(Colour { to: Some(to), words }) if to == words => {
                Phrase::of("with").then(self.free(words))
            }
            Act::Colour(colour) => self.free(&colour.words),
            Act::Again(again) => self.again(again),
            Act::Even(even) => self.even(even),
            Act::Seam(seam) => self.free(&seam.words),
            Act::Along(edge) => self.along(edge),
            Act::LineLoop(loops) => self.line_loop(*loops),
            Act::FastenOff => Phrase::of("fasten off"),
            Act::Gather(Words(words)) if !words.is_empty() => self.free(words),
            Act::Gather(_) => Phrase::of("weave tail through")
                .then(self.the("remaining"))
                .then(self.word_in("st", true)),
            Act::Remark(words) => self.free(words),
        })
    }

    fn chain(&self, chain: &Chain) -> Option<Phrase> {
        let n = self.amount(&chain.count);
        if n.is_zero() {
            return None;
        }
        let said = self.word("ch").then(n.phrase()).kept();
        Some(match &chain.counts {
            Some(counts) => {
                said.then(self.counting(counts, Phrase::of("counts"), Phrase::of("does not count")))
            }
            None => said,
        })
    }

    /// `(counts as dc and ch 1)`, `(does not count as a st here and throughout)`.
    fn counting(&self, counts: &ChainCounts, does: Phrase, does_not: Phrase) -> Phrase {
        let said = match &counts.as_kind {
            None => does_not.text("as a").then(self.word("st")),
            Some(CountsAs { kind, chains }) => {
                let said = does.text("as");
                let said = match kind {
                    Some(kind) => said.text(self.either("", "a")).then(self.kind(*kind, false)),
                    None => said.text("a").then(self.word("st")),
                };
                match chains {
                    Some(n) => {
                        said.text("and").then(self.word("ch").then(self.amount(n).phrase()).kept())
                    }
                    None => said,
                }
            }
        };
        let said = if counts.throughout { said.text("here and throughout") } else { said };
        Phrase::default().open("(").then(said).glue(")")
    }

    fn working(&self, working: &Working, depth: Depth) -> Option<Phrase> {
        let (count, together, made_as) = match &working.made {
            Made::Stitch { count, kind } if kind.post != Post::No => {
                (Some(count), kind.together, MadeAs::Post)
            }
            Made::Stitch { count, kind } => (Some(count), kind.together, MadeAs::Stitch),
            Made::Special { count, .. } => (Some(count), 1, MadeAs::Stitch),
            Made::Group(_) => (None, 1, MadeAs::Group),
        };
        let amount = count.map(|n| self.amount(n));
        if amount.as_ref().is_some_and(|n| n.is_zero()) {
            return None;
        }
        let single = amount.as_ref().is_none_or(|n| n.is_one());
        let made = match &working.made {
            Made::Stitch { kind, .. } => self.kind(*kind, !single),
            Made::Special { special, .. } => self.special(*special, !single),
            Made::Group(steps) => {
                let said = self.steps(steps, depth);
                if said.is_empty() {
                    return None;
                }
                Phrase::default().open("(").then(said).glue(")")
            }
        };
        let mut said = match amount {
            Some(n) if !single => n.phrase().then(made).kept(),
            _ => made,
        };
        if working.targets.is_empty() {
            return Some(said);
        }
        let mut first = true;
        for target in working.targets.iter().filter(|t| !self.vanishes(t)) {
            if !first {
                said = said.text("and");
            }
            said = if together > 1 {
                said.then(self.drawn(target, together, made_as == MadeAs::Post))
            } else if first || made_as == MadeAs::Post {
                said.then(self.located(target, single, made_as))
            } else {
                said.then(self.located(target, single, MadeAs::Group))
            };
            first = false;
        }
        if first {
            return None;
        }
        if let Some(counts) = &working.skipped {
            said = said.then(self.skipped_chains(counts));
        }
        if let Some(kind) = working.counts_as {
            let as_one = Phrase::of("counts as").then(self.kind(kind, false));
            said = said.then(Phrase::default().open("(").then(as_one).glue(")"));
        }
        for besides in &working.besides {
            let working = Working::new(besides.made.clone(), vec![besides.target.clone()]);
            let Some(other) = self.working(&working, depth) else { continue };
            said = said.glue(",").text("working").then(other);
        }
        Some(said)
    }

    /// `(skipped chs count as dc)`.
    fn skipped_chains(&self, counts: &ChainCounts) -> Phrase {
        let does = Phrase::of(self.skipped()).then(self.word_in("ch", true));
        self.counting(counts, does.clone().text("count"), does.text("do not count"))
    }

    /// Where a stitch goes: `in next 5 sts`, `blo in each st around`, `around next st`.
    fn located(&self, target: &Target, single: bool, made: MadeAs) -> Phrase {
        if let Some(free) = self.free_loops(target) {
            return Phrase::of("in").then(free);
        }
        let each = !single || self.full();
        let place = self.place(target, each);
        match (made, target.loops) {
            (MadeAs::Post, _) => Phrase::of("around").then(place),
            (_, Loop::Both) if matches!(target.reach, Reach::Evenly(_)) => place,
            (_, Loop::Both) => Phrase::of("in").then(place),
            (MadeAs::Group, loops) => self.in_loop(loops).then(place),
            (MadeAs::Stitch, loops) => self.loop_before(loops).then(place),
        }
    }

    /// Where stitches drawn together go: nothing for the next, `over first 2 sts`, `twice`.
    fn drawn(&self, target: &Target, together: u8, post: bool) -> Phrase {
        let loops = match target.loops {
            Loop::Both => Phrase::default(),
            loops => self.loop_before(loops),
        };
        // The places it uses up are named; graded words in braces cannot be multiplied.
        let over = |which: &str, n: &Number, place: &PlaceKind| -> Option<Phrase> {
            let n = self.amount(n).multiplied(i64::from(together))?;
            let run = self.the(which).then(n.phrase()).then(self.noun(place, true)).kept();
            Some(if target.loops == Loop::Both {
                Phrase::of("over").then(run)
            } else {
                loops.clone().then(run)
            })
        };
        let plain = target.part == Part::Whole && target.of.is_none();
        match &target.reach {
            Reach::Next(n)
                if plain && target.place == PlaceKind::Stitch && target.loops == Loop::Both =>
            {
                let n = self.amount(n);
                match over("next", &Number::ONE, &target.place) {
                    // Which posts it goes around is not to be guessed.
                    Some(over) if n.is_one() && post => over,
                    _ if n.is_one() => Phrase::default(),
                    _ => self.times(&n),
                }
            }
            Reach::Spread(n) => self.times(&self.amount(n)).text("evenly spaced"),
            Reach::Next(n) if plain => over("next", n, &target.place)
                .unwrap_or_else(|| self.located(target, true, MadeAs::Stitch)),
            Reach::First(n) if plain => over("first", n, &target.place)
                .unwrap_or_else(|| self.located(target, true, MadeAs::Stitch)),
            Reach::Last(n) if plain => over("last", n, &target.place)
                .unwrap_or_else(|| self.located(target, true, MadeAs::Stitch)),
            Reach::Each(extent)
                if plain && target.place == PlaceKind::Stitch && target.loops == Loop::Both =>
            {
                self.extent(extent)
            }
            _ => self.located(target, true, MadeAs::Stitch),
        }
    }

    fn join(&self, join: &Join) -> Phrase {
        let with = Phrase::of(self.either("join with", "join with a"))
            .then(self.kind(join.with, false))
            .kept();
        let said = match &join.into {
            None => with,
            Some(into) => with.text("in").then(self.join_place(into)),
        };
        if join.ring {
            return said.text("to form a ring");
        }
        said
    }

    fn join_place(&self, into: &JoinPlace) -> Phrase {
        match into {
            JoinPlace::First(place) => self.the("first").then(self.noun(place, false)).kept(),
            JoinPlace::FirstChain => self.the("first").then(self.word("ch")).kept(),
            JoinPlace::BeginningChain { chains, nth } => {
                let chain = match chains {
                    Some(n) => self.word("beg").then(self.sized_chain(n)),
                    None => self.word("beg").then(self.word("ch")),
                };
                let chain = self.the("").then(chain);
                match nth {
                    Some(n) => self
                        .the("")
                        .bit(self.amount(n).ordinal())
                        .then(self.word("ch"))
                        .kept()
                        .text("of")
                        .then(chain),
                    None => Phrase::of(self.either("top of", "the top of")).then(chain),
                }
            }
        }
    }

    fn rejoin(&self, rejoin: &Rejoin) -> Phrase {
        let yarn = rejoin.colour.as_deref().unwrap_or("yarn");
        let said = Phrase::of("join").text(yarn);
        let said = match rejoin.with {
            None => said,
            Some(kind) if rejoin.counts && kind != Kind::SC => {
                said.text("with a standing").then(self.kind(kind, false))
            }
            Some(kind) => said.text(self.either("with", "with a")).then(self.kind(kind, false)),
        };
        match &rejoin.target {
            Some(target) => said.then(self.located(target, true, MadeAs::Stitch)),
            None => said,
        }
    }

    fn leave(&self, leave: &Leave) -> Option<Phrase> {
        let said = Phrase::of(self.either("leave", "leave the")).text("remaining");
        let said = match leave.count.as_ref().map(|n| self.amount(n)) {
            Some(n) if n.is_zero() => return None,
            Some(n) => said.then(n.phrase().then(self.word_in("st", !n.is_one())).kept()),
            None => said.then(self.word_in("st", true)),
        };
        Some(said.text("unworked"))
    }

    fn again(&self, again: &Again) -> Phrase {
        if let Some(which) = self.again_now(again) {
            let one = self.course_capital(again.shape, false).then(which.phrase()).kept();
            return self.word("rep").then(one);
        }
        let one = |n: &Number| self.amount(n).phrase();
        let said = match &again.last {
            Some(n) => {
                let n = self.amount(n);
                let said = self.word("rep").then(self.the("last"));
                let rows = self.course(again.shape, !n.is_one());
                if n.is_one() { said.then(rows) } else { said.then(n.phrase().then(rows).kept()) }
            }
            None if again.which.is_empty() => match &again.of {
                Some(part) => return Phrase::of("work as for").then(self.free(part)),
                None => Phrase::of("continue in pattern"),
            },
            None => {
                let all: Vec<Phrase> = again
                    .which
                    .iter()
                    .map(|(a, b)| match a == b {
                        true => one(a),
                        false => from_to(&self.amount(a), &self.amount(b)),
                    })
                    .collect();
                let several = again.which.len() > 1 || again.which.iter().any(|(a, b)| a != b);
                let rows = self.course_capital(again.shape, several);
                self.word("rep").then(rows.then(listed(all)).kept())
            }
        };
        let said = match &again.of {
            Some(part) => said.text("of").then(self.free(part)),
            None => said,
        };
        let said = match &again.times {
            AgainTimes::AsLabelled => said,
            AgainTimes::Times(n) => match self.amount(n) {
                // Digits would run into the numbers before them.
                Amount::Same(n @ 2..=10) => {
                    let words = usize::try_from(n).ok().and_then(|n| SMALL.get(n)).copied();
                    said.text(words.unwrap_or_default()).text("more times")
                }
                n @ Amount::Same(1) => said.then(self.more(&n)),
                n => said.glue(",").then(self.more(&n)),
            },
            AgainTimes::Courses(n) => {
                let n = self.amount(n);
                let rows = self.course(again.shape, !n.is_one());
                said.text("for").then(n.phrase().then(rows).kept())
            }
            AgainTimes::UntilRemain(n) => {
                let n = self.amount(n);
                let remain = if n.is_one() { "remains" } else { "remain" };
                said.text("until")
                    .then(n.phrase().then(self.word_in("st", !n.is_one())).kept())
                    .text(remain)
            }
            AgainTimes::UntilWorked(n) => {
                let n = self.amount(n);
                let rows = self.course(again.shape, !n.is_one());
                said.text("until there are").then(n.phrase().then(rows).kept()).text("in all")
            }
        };
        match &again.ending {
            Some(n) => {
                let last = self.course_capital(again.shape, false).then(one(n)).kept();
                said.glue(",").text("ending with a").then(last)
            }
            None => said,
        }
    }

    fn even(&self, even: &Even) -> Phrase {
        if let Some(shaping) = &even.shaping {
            return self.shaping(shaping, even.count.as_ref());
        }
        let said = match even.kind {
            Some(kind) => Phrase::of("work even in").then(self.kind(kind, false)),
            None => Phrase::of("work even"),
        };
        if let Some(n) = &even.count {
            let n = self.amount(n);
            let rows = self.course(self.shape, !n.is_one());
            return said.text("for").then(n.phrase().then(rows).kept());
        }
        if let Some(n) = &even.until {
            let n = self.amount(n);
            let rows = self.course(self.shape, !n.is_one());
            return said.text("until there are").then(n.phrase().then(rows).kept()).text("in all");
        }
        said
    }

    /// `decrease 6 sts evenly around`, `decrease 1 st at each end of next 3 rows`.
    fn shaping(&self, shaping: &Shaping, count: Option<&Number>) -> Phrase {
        let said = Phrase::of(if shaping.grows { "increase" } else { "decrease" });
        let (every, until) = match &shaping.at {
            ShapedAt::Evenly(n) => {
                let n = self.amount(n);
                let sts = n.phrase().then(self.word_in("st", !n.is_one())).kept();
                return said.then(sts).text("evenly around");
            }
            ShapedAt::Ends { every, until } => (*every, until),
        };
        let said = said.then(Phrase::of("1").then(self.word("st")).kept()).text("at each end");
        let said = match every {
            1 if count.is_none() && until.is_none() => said,
            1 => match count.map(|n| self.amount(n)).filter(|_| until.is_none()) {
                Some(n) if n.is_one() => {
                    return said.text("of next").then(self.course(self.shape, false));
                }
                Some(n) => {
                    let rows = self.course(self.shape, true);
                    return said.text("of next").then(n.phrase().then(rows).kept());
                }
                None => said.text("of every").then(self.course(self.shape, false)),
            },
            _ => said.text("of next and every other").then(self.course(self.shape, false)),
        };
        let said = match count.map(|n| self.amount(n)) {
            Some(n) => said.then(self.times(&n)),
            None => said,
        };
        match until.as_ref().map(|n| self.amount(n)) {
            Some(n) => {
                let sts = n.phrase().then(self.word_in("st", !n.is_one())).kept();
                said.text("until").then(sts).text(if n.is_one() { "remains" } else { "remain" })
            }
            None => said,
        }
    }

    fn along(&self, edge: &Edge) -> Phrase {
        let chain = || self.the("foundation").then(self.word("ch"));
        match edge {
            Edge::FoundationOpposite => Phrase::of("working along")
                .text(self.either("opposite side of", "the opposite side of"))
                .then(chain()),
            Edge::Foundation => Phrase::of("working along").then(chain()),
            Edge::FreeLoops { loops, of } => {
                let side = if *loops == Loop::Back { "back" } else { "front" };
                let said = Phrase::of("working in").then(self.the("free")).text(side).text("loops");
                match of {
                    Some(n) => said.text("of").then(self.numbered(n)),
                    None => said,
                }
            }
            Edge::Side => Phrase::of("working along").then(self.the("row ends")),
            Edge::Top(None) => Phrase::of("working along").then(self.the("top")),
            Edge::Top(Some(n)) => {
                Phrase::of("working along").then(self.the("top of")).then(self.numbered(n))
            }
        }
    }

    fn line_loop(&self, loops: Loop) -> Phrase {
        match loops {
            Loop::Back => Phrase::of(
                self.either("working in back loops only", "working in the back loops only"),
            ),
            Loop::Front => Phrase::of(
                self.either("working in front loops only", "working in the front loops only"),
            ),
            Loop::Third => {
                Phrase::of(self.either("working in third loops", "working in the third loops"))
            }
            Loop::Bump => {
                Phrase::of(self.either("working in back bumps of", "working in the back bumps of"))
                    .then(self.the(""))
                    .then(self.word("ch"))
            }
            Loop::Both => Phrase::of(self.either("working in both loops", "working in both loops")),
        }
    }
}
