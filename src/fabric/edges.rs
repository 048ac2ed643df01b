//! Going over to another edge: row ends, the foundation, free loops, chains from the hook.

use super::edge::Spot;
use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::places::no_free_loops;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;

impl Pass {
    /// Goes over to the edge that the words name, if it is another one.
    pub fn choose_edge(&mut self, w: &mut Worker, t: &Target, span: Span) -> Done {
        if self.goes_away(w, t) {
            return Ok(());
        }
        if t.place == PlaceKind::RowEnd {
            let spent = self.on == On::RowEnds
                && self.pos >= self.list.len()
                && matches!(t.reach, Reach::Each(_));
            if self.on != On::RowEnds || (spent && self.along_side) {
                self.go_to(w, On::RowEnds, span)?;
                self.along_side = true;
                if self.list.is_empty() && w.known == Known::All {
                    return fault(
                        "wrong-place",
                        span,
                        "there are no row ends: no rows were worked",
                    );
                }
            }
            return Ok(());
        }
        if let Some(of) = &t.of {
            let n = w.value(of, t.at)? as u32;
            if n == 0 {
                if self.on != On::Foundation && self.on != On::Chain {
                    return self.go_to(w, On::Foundation, span);
                }
                return Ok(());
            }
            // "sc blo in each of 6 unworked sts of Row 1": sts left, not loops left free.
            if matches!(t.reach, Reach::Unworked(_) | Reach::Skipped(_)) {
                return Ok(());
            }
            if matches!(t.loops, Loop::Front | Loop::Back) && self.go_to_free(w, t.loops, Some(n)) {
                return Ok(());
            }
            if matches!(t.loops, Loop::Front | Loop::Back) && n != w.number && w.known == Known::All
            {
                return no_free_loops(span);
            }
            if !matches!(self.on, On::Top | On::Chain | On::Free) {
                return self.go_to(w, On::Top, span);
            }
            return Ok(());
        }
        if self.on == On::RowEnds && !matches!(t.reach, Reach::Same) {
            // Along the side and round the corner: chains below, stitches above.
            let to = if t.place == PlaceKind::Chain { On::Foundation } else { On::Top };
            return self.go_to(w, to, span);
        }
        Ok(())
    }

    /// Changes to another edge; what is left on this one must be excused.
    pub fn go_to(&mut self, w: &mut Worker, on: On, span: Span) -> Done {
        if self.pos > 0 && matches!(self.on, On::Top | On::RowEnds | On::Foundation) {
            self.left_over(w).map_err(|mut f| {
                f.span = span;
                f
            })?;
        }
        self.list = match on {
            On::RowEnds => w.rows.clone(),
            On::Foundation => w.foundation_worked.clone(),
            On::Top => {
                let mut top = w.top.clone();
                if self.turned_before {
                    top.reverse();
                }
                top
            }
            _ => Vec::new(),
        };
        if on == On::RowEnds && w.rows_lost {
            w.known = Known::Nothing;
        }
        if on == On::RowEnds {
            self.ground = Ground::RowEnds;
        }
        self.on = on;
        self.pos = 0;
        self.inner = 0;
        self.passable = 0;
        (self.wrapped, self.stands) = (0, false);
        self.asks = super::site::Asks::default();
        self.swept = false;
        Ok(())
    }

    /// Goes over to loops that were left free, if there are any.
    pub fn go_to_free(&mut self, w: &Worker, loops: Loop, of: Option<u32>) -> bool {
        if self.on == On::Free {
            return true;
        }
        let found =
            w.free.iter().rev().find(|(n, l, _)| *l == loops && of.is_none_or(|of| of == *n));
        let Some((_, _, spots)) = found else { return false };
        self.list = spots.clone();
        self.on = On::Free;
        self.ground = Ground::FreeLoops;
        (self.wrapped, self.stands) = (0, false);
        self.pos = 0;
        self.inner = 0;
        true
    }

    /// "working along …".
    pub fn along(&mut self, w: &mut Worker, edge: &Edge, at: At) -> Done {
        match edge {
            Edge::FoundationOpposite => {
                if self.on == On::Chain {
                    // Read backwards, without the last one (it holds the turn), the first shared.
                    let first = self.first_used.unwrap_or(0);
                    let end = self.pos.saturating_sub(1).max(first);
                    let mut back: Vec<Spot> = self.list.get(first..end).unwrap_or(&[]).to_vec();
                    back.reverse();
                    w.foundation_worked = back.iter().rev().copied().collect();
                    self.list = back;
                    self.on = On::Opposite;
                    self.pos = 0;
                    self.inner = 0;
                    return Ok(());
                }
                self.go_to(w, On::Foundation, at.0)
            }
            Edge::Foundation => self.go_to(w, On::Foundation, at.0),
            Edge::Side => self.go_to(w, On::RowEnds, at.0),
            Edge::Top(_) => self.go_to(w, On::Top, at.0),
            Edge::FreeLoops { loops, of } => {
                let of = match of {
                    Some(n) => Some(w.value(n, at)? as u32),
                    None => None,
                };
                if self.go_to_free(w, *loops, of) || w.known != Known::All {
                    return Ok(());
                }
                no_free_loops(at.0)
            }
        }
    }

    /// "2nd ch from hook".
    pub fn hook_chain(
        &mut self,
        w: &mut Worker,
        n: u64,
        m: Making,
        skipped: Option<&ChainCounts>,
    ) -> Done {
        let span = m.span;
        if self.on != On::Chain || self.pos > 0 {
            // An ornament closes on itself: "ch 3, sl st in 3rd ch from hook".
            let last = w.fabric.stitches.last().copied();
            if m.slips() && self.worked && last.is_some_and(|s| s.kind == Kind::CH) {
                self.room(w, 1, span)?;
                self.push(w, Kind::SL_ST, Role::Ornament, Site::NOWHERE, Loop::Both);
                return Ok(());
            }
            // Chains made at the beginning of the row lengthen it.
            match self.pending_extension.take() {
                Some((first, chains)) if n >= 2 && n <= u64::from(chains) => {
                    let mut list: Vec<Spot> =
                        (first..first + chains).rev().map(Spot::chain).collect();
                    list.append(&mut self.list);
                    self.list = list;
                    self.pos = 0;
                    self.rise = None;
                }
                _ => {
                    return fault_help(
                        "wrong-place",
                        span,
                        "“ch from hook”, but no chain is there to work into",
                        "name the stitch of the row below: “in first st”",
                    );
                }
            }
        }
        let skip = n.saturating_sub(1) as usize;
        if skip >= self.list.len() || n == 0 {
            return fault(
                "overrun",
                span,
                format!(
                    "the chain has {} chs, and the {n}th from the hook is asked for",
                    self.list.len()
                ),
            );
        }
        self.pos = skip;
        self.first_used = Some(skip);
        self.asks.stitches = true;
        // Skipped chains count as a stitch only where the text says so.
        let says = match skipped {
            Some(counts) => counts.as_kind.clone().map(|k| (k.kind, k.chains)),
            None => match w.conventions.by_height.get(&(skip as u64)) {
                Some(Some(k)) if skip >= 2 => Some((k.kind, k.chains.clone())),
                _ if skip >= 2
                    && self.join_chain.is_some_and(|(n, _)| n.is_none_or(|n| n == skip as u64)) =>
                {
                    Some((None, None))
                }
                _ => match &w.conventions.any_height {
                    Some(Some(_)) if skip >= 2 => Some((None, None)),
                    _ => None,
                },
            },
        };
        if let Some((kind, over)) = says
            && skip > 0
        {
            let kind = kind.or(match m.made {
                Made::Stitch { kind, .. } => Some(kind.single()),
                _ => None,
            });
            let foot = self.list.get(skip - 1).map_or(0, |s| s.at);
            if let Some(s) = w.fabric.stitches.get_mut(foot as usize) {
                s.role = Role::CountedRise;
            }
            self.count += 1;
            self.first_used = Some(skip - 1);
            self.made.push(Spot {
                rise: true,
                ..Spot::top(kind.unwrap_or(Kind::plain(Base::Dc)), foot, 0)
            });
            // "skipped chs count as dc and ch 1": the rest of them are a space.
            if let Some(over) = over {
                let n = w.value(&over, At(span))? as u32;
                self.leave_space(foot, n, 0);
            }
        }
        let site = self.taken(skip);
        self.make(w, site, m)
    }

    /// Works into the ring.
    pub fn ring_into(&mut self, w: &mut Worker, m: Making) -> Done {
        if !w.ring && self.on != On::Ring {
            if w.known != Known::All {
                w.ring = true;
                // All that is worked into a ring is seen.
                if self.from as usize == w.fabric.stitches.len() {
                    w.known = Known::All;
                }
            } else {
                return fault_help(
                    "wrong-place",
                    m.span,
                    "there is no ring to work into",
                    "make one first: a magic ring, or “ch 4, join with sl st to form a ring”",
                );
            }
        }
        if self.on != On::Ring {
            self.on = On::Ring;
            self.ground = Ground::Ring;
            self.list.clear();
            self.pos = 0;
        }
        self.last = Some((Site::RING, 0));
        self.make(w, Site::RING, m.counted())
    }

    /// Sts that an earlier row left unworked.
    pub fn unworked(&mut self, w: &mut Worker, t: &Target, n: Option<u64>, m: Making) -> Done {
        let here = self.stitches_left();
        let beyond = self
            .beyond
            .get(self.used_beyond..)
            .unwrap_or(&[])
            .iter()
            .filter(|s| s.is_stitch())
            .count() as u64;
        if here > 0 && beyond > 0 && w.known == Known::All {
            return fault_help(
                "leftover",
                m.span,
                format!("{} of the row below not worked before the unworked ones", sts(here)),
                "work them first",
            );
        }
        let n = n.unwrap_or(here + beyond);
        self.next(w, t, n, Making { bases: 1, ..m.counted() })
    }

    /// Works into the places skipped last, or the first `n` of them.
    pub fn skipped_into(&mut self, w: &mut Worker, n: u64, m: Making) -> Done {
        let n = if n == 0 { self.skipped.len() } else { n as usize };
        if self.skipped.len() < n || n == 0 {
            return fault(
                "overrun",
                m.span,
                format!("{n} skipped sts are asked for, and {} were skipped", self.skipped.len()),
            );
        }
        let spots: Vec<Spot> = self.skipped.drain(..n).collect();
        for spot in spots {
            self.make(w, Site::at(spot), m.counted())?;
        }
        Ok(())
    }
}
