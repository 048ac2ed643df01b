//! Taking the next place: a stitch, a chain, a space, the top of the turning chain.

use super::edge::{Spot, What, answers};
use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;

impl Pass {
    /// Takes the next place (or the next few, for stitches drawn together).
    pub fn take(&mut self, w: &Worker, t: &Target, bases: u32, span: Span) -> Done<Site> {
        let mut first: Option<Site> = None;
        let in_one = matches!(t.place, PlaceKind::ChainSpace(_));
        let n = if in_one { 1 } else { bases };
        for _ in 0..n {
            let site = self.take_one(w, t, span)?;
            first = Some(match first {
                None => site,
                Some(f) => Site { last: site.last, post: f.post && site.post, ..f },
            });
        }
        let site = first.unwrap_or(Site::NOWHERE);
        Ok(Site { bases: u8::try_from(bases).unwrap_or(u8::MAX), ..site })
    }

    pub fn take_one(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        match &t.place {
            PlaceKind::ChainSpace(size) => {
                let size = match size {
                    Some(n) => Some(w.value(n, t.at)? as u32),
                    None => None,
                };
                self.take_space(w, size, t, span)
            }
            PlaceKind::Chain => self.take_chain(w, t, span),
            PlaceKind::Named(kind) if *kind == Kind::CH => self.take_chain(w, t, span),
            PlaceKind::Named(_) | PlaceKind::AnyOf(_) => self.take_named(w, t, span),
            PlaceKind::TurningChain(_) => self.take_turning_chain(w, t, span),
            PlaceKind::Between => self.take_stitch(w, t, span),
            _ => self.take_stitch(w, t, span),
        }
    }

    pub fn take_stitch(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        if let Some(i) = self.next_stitch() {
            return Ok(self.taken(i));
        }
        // What an earlier row left lies beyond.
        if let Some(offset) =
            self.beyond.get(self.used_beyond..).and_then(|b| b.iter().position(|s| s.is_stitch()))
        {
            let i = self.used_beyond + offset;
            self.used_beyond = i + 1;
            self.pos = self.list.len();
            let site = self.beyond.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
            self.last = Some((site, self.list.len()));
            return Ok(site);
        }
        self.none_left(w, t, span)
    }

    pub fn taken(&mut self, i: usize) -> Site {
        let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
        self.use_up(i, 1);
        self.last = Some((site, i));
        site
    }

    pub fn none_left<T>(&self, w: &Worker, t: &Target, span: Span) -> Done<T> {
        let total = self.list.iter().filter(|s| s.is_stitch()).count() as u64;
        let what = self.place_words(w, &t.place, true);
        let unit = if self.on == On::RowEnds {
            "row ends".to_owned()
        } else {
            format!("sts in the row below ({total})")
        };
        fault_help(
            "overrun",
            span,
            format!("no {what} is left to work into: all {unit} are used up"),
            "count what this line asks for against the line before it",
        )
    }

    pub fn take_named(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        loop {
            let any_space = matches!(&t.place, PlaceKind::AnyOf(k) if k.iter().any(|k| matches!(k, PlaceKind::ChainSpace(_))));
            let next = if any_space {
                (self.pos < self.list.len()).then_some(self.pos)
            } else {
                self.next_stitch()
            };
            let Some(i) = next else { return self.take_stitch(w, t, span) };
            if self.list.get(i).is_some_and(|s| self.fits(w, *s, &t.place)) {
                return Ok(self.taken(i));
            }
            if i < self.passable {
                self.pos = self.passable;
                continue;
            }
            let found = self.list.get(i).map_or_else(String::new, |s| self.spot_words(w, *s));
            let what = self.place_words(w, &t.place, true);
            return fault_help(
                "wrong-place",
                span,
                format!("the next stitch is {found}, not {what}"),
                "check the stitch named here against the line before it",
            );
        }
    }

    /// Whether a place answers to what is asked.
    pub fn fits(&self, w: &Worker, spot: Spot, place: &PlaceKind) -> bool {
        match place {
            PlaceKind::Stitch | PlaceKind::RowEnd | PlaceKind::Between => spot.is_stitch(),
            PlaceKind::Named(kind) => match spot.what {
                What::Wild => true,
                What::Top => answers(spot.kind, *kind),
                What::Chain => *kind == Kind::CH,
                _ => false,
            },
            PlaceKind::Chain => spot.what == What::Chain || spot.what == What::Wild,
            PlaceKind::ChainSpace(size) => {
                spot.what == What::Space
                    && size.as_ref().is_none_or(|n| {
                        w.value(n, At::default()).is_ok_and(|n| n == u64::from(spot.size))
                    })
            }
            PlaceKind::TurningChain(_) => spot.rise || spot.what == What::Wild,
            PlaceKind::AnyOf(kinds) => kinds.iter().any(|k| self.fits(w, spot, k)),
            PlaceKind::Special(i) => w.special_of(spot.group) == Some(*i),
            PlaceKind::Fan { .. } => spot.group != 0,
            PlaceKind::Ring => false,
        }
    }

    pub fn take_space(
        &mut self,
        w: &Worker,
        size: Option<u32>,
        t: &Target,
        span: Span,
    ) -> Done<Site> {
        let fits = |s: &Spot| s.what == What::Space && size.is_none_or(|n| n == s.size);
        let from = if self.inner > 0 { self.pos + 1 } else { self.pos };
        if let Some(i) =
            self.list.get(from..).and_then(|l| l.iter().position(fits)).map(|i| from + i)
        {
            w.look(i - from);
            return Ok(self.taken(i));
        }
        let what = self.place_words(w, &t.place, true);
        if self.list.iter().any(fits) {
            return fault_help(
                "overrun",
                span,
                format!(
                    "no {what} is left: all {} are used up",
                    self.list.iter().filter(|s| fits(s)).count()
                ),
                "count what this line asks for against the line before it",
            );
        }
        let sizes: Vec<String> = {
            let mut s: Vec<u32> =
                self.list.iter().filter(|s| s.what == What::Space).map(|s| s.size).collect();
            s.sort_unstable();
            s.dedup();
            s.into_iter().map(|n| format!("ch-{n} sps")).collect()
        };
        let there = if sizes.is_empty() {
            "it has no chain spaces".to_owned()
        } else {
            format!("it has {}", sizes.join(" and "))
        };
        fault_help(
            "wrong-place",
            span,
            format!("there is no {what} in the row below: {there}"),
            "name the space as the line before makes it",
        )
    }

    pub fn take_chain(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        // A chain of a foundation, or the next single chain of a run.
        for i in self.pos..self.list.len() {
            let Some(spot) = self.list.get(i).copied() else { break };
            match spot.what {
                What::Chain | What::Wild => return Ok(self.taken(i)),
                What::Space => {
                    let inner = if i == self.pos { self.inner } else { 0 };
                    if inner >= spot.size {
                        continue;
                    }
                    self.use_up(i, 0);
                    self.inner = inner + 1;
                    if self.inner == spot.size {
                        self.use_up(i, 1);
                    }
                    let site = Site::at(spot.chain_of_run(inner));
                    self.last = Some((site, i));
                    return Ok(site);
                }
                _ if w.referred && spot.is_stitch() => return Ok(self.taken(i)),
                _ if i < self.passable => {}
                _ => break,
            }
        }
        if self.next_stitch().is_some() || self.list.iter().any(|s| s.what == What::Space) {
            let found = self
                .next_stitch()
                .and_then(|i| self.list.get(i))
                .map_or_else(|| "a space".to_owned(), |s| self.spot_words(w, *s));
            return fault("wrong-place", span, format!("the next place is {found}, not a chain"));
        }
        self.none_left(w, t, span)
    }

    pub fn take_turning_chain(&mut self, w: &Worker, t: &Target, span: Span) -> Done<Site> {
        // "Rnd 3: Sl st in top of ch-2, ch 2, …": in a round that chain stands first.
        let first = self.shape == Some(Shape::Round) && !self.worked;
        if first && self.list.get(self.pos).is_some_and(|s| s.rise) {
            return Ok(self.taken(self.pos));
        }
        self.pos = self.pos.max(self.passable.min(self.list.len()));
        match self.list.last().copied() {
            Some(last) if last.rise || last.what == What::Wild => {
                let i = self.list.len() - 1;
                if self.pos > i {
                    return fault("overrun", span, "the turning chain is already worked into");
                }
                if self.next_stitch() != Some(i) {
                    let left = self.stitches_left().saturating_sub(1);
                    return fault(
                        "leftover",
                        span,
                        format!("{} not worked before the turning chain", sts(left)),
                    );
                }
                Ok(self.taken(i))
            }
            _ if self.next_stitch().is_none() => self.none_left(w, t, span),
            _ => fault_help(
                "wrong-place",
                span,
                "the beginning chain of the row below does not count as a stitch, so its top is no place",
                "say “counts as” where it is made, or leave this stitch out",
            ),
        }
    }

    /// "last 4 sts": they must be what is left.
    pub fn last_ones(&mut self, w: &mut Worker, t: &Target, n: u64, m: Making) -> Done {
        if matches!(t.place, PlaceKind::TurningChain(_)) {
            return self.next(w, t, n, m);
        }
        let need =
            if matches!(t.place, PlaceKind::ChainSpace(_)) { n } else { n * u64::from(m.bases) };
        self.last_before_the_seam(w, &t.place, need);
        let fitting = |from: usize| {
            let ahead = self.list.get(from..).unwrap_or(&[]);
            ahead.iter().filter(|s| self.fits(w, **s, &t.place)).count() as u64
        };
        let mut left = fitting(self.pos);
        if self.passable > self.pos && left > need && fitting(self.passable) == need {
            self.pos = self.passable;
            left = need;
        }
        if left > need && !m.travel && w.known != Known::Nothing {
            let what = self.place_words(w, &t.place, false);
            return fault_help(
                "leftover",
                m.span,
                format!("{left} {what} are left here, and only the last {need} are worked"),
                format!(
                    "{} before them {} not worked",
                    left - need,
                    if left - need == 1 { "is" } else { "are" }
                ),
            );
        }
        self.next(w, t, n, m)
    }

    /// The next `n` places.
    pub fn next(&mut self, w: &mut Worker, t: &Target, n: u64, m: Making) -> Done {
        for _ in 0..n {
            let last = self.pos + 1 >= self.list.len();
            if t.part == Part::After && last && self.shape == Some(Shape::Row) {
                return self.none_left(w, t, m.span);
            }
            let site = match self.take(w, t, m.bases, m.span) {
                Ok(site) => site,
                // The closing slip stitch of a spiral goes into the new round's first stitch.
                Err(_) if m.travel && self.count > 0 => Site::NOWHERE,
                Err(f) => return Err(f),
            };
            self.make(w, self.deep(w, t, site), m)?;
            self.free_loop_of(m.loops);
        }
        Ok(())
    }

    /// A travelling slip stitch at the beginning of a joined round starts from the first
    /// stitch: "next st" is the second.
    pub fn travel_start(&mut self, w: &Worker, t: &Target, travel: bool) {
        let stitch = matches!(t.place, PlaceKind::Stitch | PlaceKind::Named(_));
        if travel
            && stitch
            && w.joined_last
            && self.pos == 0
            && !self.worked
            && self.on == On::Top
            && self.shape == Some(Shape::Round)
        {
            self.pos = 1;
        }
    }

    /// Remembers which loop stays free under the place just worked.
    pub fn free_loop_of(&mut self, loops: Loop) {
        let other = match loops {
            Loop::Back => &mut self.front_loops,
            Loop::Front => &mut self.back_loops,
            _ => return,
        };
        if let Some((_, i)) = self.last
            && let Some(spot) = self.list.get(i)
            && self.on != On::Free
        {
            other.push(*spot);
        }
    }

    /// A spike goes into a lower row, but uses up the place in front of it.
    pub fn deep(&self, w: &Worker, t: &Target, site: Site) -> Site {
        let Part::Below(n) = &t.part else { return site };
        let n = w.value(n, t.at).unwrap_or(1).min(100);
        let mut base = site.base;
        for _ in 0..n {
            if let Standing::Stitch(i) = base
                && let Some(below) = w.fabric.stitches.get(i as usize)
                && below.base != Standing::Nothing
            {
                base = below.base;
            }
        }
        Site { base, ..site }
    }
}
