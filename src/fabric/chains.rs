//! Chains made: foundations, beginning chains and what they count as, spaces.

use super::edge::Spot;
use super::fault::{Done, fault};
use super::model::*;
use super::pass::Pass;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;
use std::ops::Range;

impl Pass {
    /// "ch 3": a beginning chain, a foundation, a space, or an ornament's beginning.
    pub fn chain(&mut self, w: &mut Worker, chain: &Chain, at: At, rest: &[Step]) -> Done {
        let n = w.value(&chain.count, at)?;
        self.room(w, n, at.0)?;
        w.fabric.stitches.reserve(n as usize);
        let first = w.fabric.stitches.len() as u32;
        let n32 = n as u32;
        let ornament = is_ornament(rest);
        let begins = !self.worked
            && self.rise.is_none()
            && self.count == 0
            && self.depth == 0
            && !self.foundation;
        // "Ch 3 (counts as dc), 11 dc in magic ring": the ring is there before the chain.
        let ring_next = rest
            .iter()
            .find(|s| !matches!(s.act, Act::Remark(_) | Act::Colour(_)))
            .is_some_and(|s| s.act == Act::Ring);
        // Where the ring's own line could not be worked, what is worked into it is seen.
        let ring_lost = w.known == Known::Nothing && into_ring(rest);
        if begins && (ring_next || ring_lost) && self.on == On::Nothing {
            self.on = On::Ring;
            self.ground = Ground::Ring;
            if ring_lost {
                w.ring = true;
                w.known = Known::All;
            }
        }
        let ground = self.on != On::Nothing;
        if self.foundation || (begins && !ground) {
            for _ in 0..n {
                self.push(w, Kind::CH, Role::Foundation, Site::NOWHERE, Loop::Both);
            }
            if !self.foundation {
                w.foundation = (first..first + n32).map(Spot::chain).collect();
                self.list = w.foundation.iter().rev().copied().collect();
                self.on = On::Chain;
                self.ground = Ground::Chain;
                w.foundation_worked.clear();
                w.rows.clear();
            }
            return Ok(());
        }
        for _ in 0..n {
            self.push(w, Kind::CH, Role::Space, Site::NOWHERE, Loop::Both);
        }
        if begins {
            return self.rise_made(w, first, n32, chain.counts.as_ref(), at.0);
        }
        if ornament {
            set_role(w, first..first + n32, Role::Ornament);
            return Ok(());
        }
        if w.conventions.count_chains {
            self.count += n32;
        }
        self.chains = match self.chains {
            Some((start, m)) if start + m == first => Some((start, m + n32)),
            Some(_) | None => Some((first, n32)),
        };
        Ok(())
    }

    /// A beginning chain is made: it counts if the text says so, and then it stands on the
    /// first place.
    pub fn rise_made(
        &mut self,
        w: &mut Worker,
        first: u32,
        n: u32,
        said: Option<&ChainCounts>,
        span: Span,
    ) -> Done {
        let counts = self.rise_counts(w, n, said);
        set_role(w, first..first + n, Role::Rise);
        self.rise = Some((u64::from(n), counts.is_some()));
        // A long chain at the beginning of a row may be worked into: keep it at hand.
        self.chains = None;
        let Some(counts) = counts else {
            self.pending_extension = Some((first, n));
            return Ok(());
        };
        let over = match &counts.chains {
            Some(c) => w.value(c, At(span))? as u32,
            None => 0,
        };
        let Some(height) = n.checked_sub(over).filter(|h| *h > 0) else {
            return fault(
                "wrong-place",
                span,
                format!("ch {n} cannot count as a stitch and {over} chains besides"),
            );
        };
        let top = first + height - 1;
        let kind = counts.kind.unwrap_or_else(|| kind_of_height(height));
        let site = match (self.site, self.last) {
            (Some(site), _) => site,
            (None, Some((site, i)))
                if self.rejoined || self.stands || i + 1 == self.pos || self.on == On::Ring =>
            {
                self.stand_used();
                if self.rejoined && self.pos == i {
                    self.pos = i + 1;
                }
                site
            }
            _ if self.on == On::Ring => Site::RING,
            _ => match self.next_stitch() {
                Some(i) => {
                    let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
                    self.use_up(i, 1);
                    self.last = Some((site, i));
                    self.asks.stitches = true;
                    site
                }
                None => {
                    return fault(
                        "overrun",
                        span,
                        "no stitch is left for the beginning chain to stand on",
                    );
                }
            },
        };
        if let Some(s) = w.fabric.stitches.get_mut(top as usize) {
            s.role = Role::CountedRise;
            s.base = site.base;
            s.last = site.last;
            s.bases = site.bases;
        }
        self.count += 1;
        self.worked = true;
        self.made.push(Spot { rise: true, ..Spot::top(kind, top, self.group) });
        if over > 0 {
            set_role(w, top + 1..first + n, Role::Space);
            self.chains = Some((top + 1, over));
        }
        Ok(())
    }

    /// What a beginning chain of `n` counts as: by its own words, else by a convention, else
    /// by the join that goes into its top; else nothing.
    fn rise_counts(&self, w: &mut Worker, n: u32, said: Option<&ChainCounts>) -> Option<CountsAs> {
        let key = u64::from(n);
        if let Some(said) = said {
            w.conventions.by_height.insert(key, said.as_kind.clone());
            if said.throughout && w.conventions.any_height.is_none() && said.as_kind.is_none() {
                w.conventions.any_height = Some(None);
            }
            return said.as_kind.clone();
        }
        if n == 1 {
            return None;
        }
        if let Some(known) = w.conventions.by_height.get(&key) {
            return known.clone();
        }
        if let Some((chains, nth)) = self.join_chain
            && chains.is_none_or(|c| c == key)
        {
            let over = nth.and_then(|k| key.checked_sub(k)).unwrap_or(0);
            let kind = nth.map(|k| kind_of_height(k as u32));
            let counts = CountsAs { kind, chains: (over > 0).then_some(Number::Plain(over)) };
            w.conventions.by_height.insert(key, Some(counts.clone()));
            return Some(counts);
        }
        match &w.conventions.any_height {
            Some(known) if n >= 2 => {
                known.clone().map(|_| CountsAs { kind: Some(kind_of_height(n)), chains: None })
            }
            _ => None,
        }
    }
}

fn set_role(w: &mut Worker, stitches: Range<u32>, role: Role) {
    let stitches = stitches.start as usize..stitches.end as usize;
    for stitch in w.fabric.stitches.get_mut(stitches).unwrap_or_default() {
        stitch.role = role;
    }
}

/// Whether any of these steps works into a ring.
fn into_ring(steps: &[Step]) -> bool {
    let mut found = false;
    super::needs::visit(steps, &mut |t, _| found |= t.place == PlaceKind::Ring);
    found
}

/// "ch 3, sl st in 3rd ch from hook": the chain is an ornament, not a space.
fn is_ornament(rest: &[Step]) -> bool {
    let next = rest.iter().find(|s| !matches!(s.act, Act::Remark(_)));
    next.is_some_and(|s| match &s.act {
        Act::Work(Working { made: Made::Stitch { kind, .. }, targets, .. }) => {
            *kind == Kind::SL_ST
                && targets.first().is_some_and(|t| {
                    matches!(t.reach, Reach::Nth(_)) && t.place == PlaceKind::Chain
                        || matches!(
                            (&t.reach, &t.place),
                            (Reach::First(_) | Reach::Same, PlaceKind::Chain)
                        )
                })
        }
        _ => false,
    })
}

/// The stitch a beginning chain of this height usually stands for.
fn kind_of_height(n: u32) -> Kind {
    Kind::plain(match n {
        0 | 1 => Base::Sc,
        2 => Base::Hdc,
        3 => Base::Dc,
        4 => Base::Tr,
        5 => Base::Dtr,
        _ => Base::Trtr,
    })
}
