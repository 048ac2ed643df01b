//! Closing rounds, joining yarn, seams.

use super::edge::Spot;
use super::fault::{Done, fault, fault_help};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::written::tree::*;

impl Pass {
    /// A closing slip stitch; behind a foundation chain it makes a ring.
    pub fn join(&mut self, w: &mut Worker, join: &Join, at: At) -> Done {
        self.room(w, 1, at.0)?;
        if self.foundation || (!self.worked && self.on == On::Chain && self.count == 0) {
            self.push(w, join.with, Role::Join, Site::NOWHERE, Loop::Both);
            self.end.joined = self.foundation;
            w.fabric.joins += 1;
            if !self.foundation {
                // "Rnd 1: Ch 4, join to form a ring, ch 1, 8 sc in ring".
                w.ring = true;
                w.joined_last = true;
                self.list = w.foundation.clone();
            }
            return Ok(());
        }
        self.settle_chains();
        if !self.worked && self.shape.is_none() {
            // An unnumbered "Join with sl st …" closes what was worked last.
            self.push(w, join.with, Role::Join, Site::NOWHERE, Loop::Both);
            w.joined_last = true;
            w.fabric.joins += 1;
            if let Some(course) = w.fabric.courses.last_mut() {
                course.joined = true;
            }
            return Ok(());
        }
        if w.known == Known::All {
            self.check_join(w, join, at)?;
        }
        let base = self.made.first().copied().map_or(Site::NOWHERE, Site::at);
        self.push(w, join.with, Role::Join, base, Loop::Both);
        self.end.joined = true;
        w.fabric.joins += 1;
        Ok(())
    }

    /// Whether the place the join names is there.
    fn check_join(&self, w: &Worker, join: &Join, at: At) -> Done {
        match &join.into {
            Some(JoinPlace::BeginningChain { chains, .. }) => {
                // Chains skipped from the hook that count are a beginning chain too.
                if self.rise.is_none() && self.made.first().is_some_and(|s| s.rise) {
                    return Ok(());
                }
                let Some((made, _)) = self.rise.filter(|r| r.0 > 0) else {
                    return fault_help(
                        "wrong-place",
                        at.0,
                        "the join goes into the beginning chain, and this round begins with none",
                        "write “join with sl st in first st”",
                    );
                };
                if let Some(n) = chains {
                    let n = w.value(n, at)?;
                    if n != made {
                        return fault(
                            "wrong-place",
                            at.0,
                            format!("the join names ch-{n}, and this round begins with ch {made}"),
                        );
                    }
                }
                Ok(())
            }
            Some(JoinPlace::First(place @ (PlaceKind::Named(_) | PlaceKind::Special(_)))) => {
                if self.made.iter().any(|s| self.fits(w, *s, place)) {
                    return Ok(());
                }
                let what = self.place_words(w, place, true);
                fault_help(
                    "wrong-place",
                    at.0,
                    format!("the join goes into the first {what}, and this round has none"),
                    "name the stitch the round begins with",
                )
            }
            _ => Ok(()),
        }
    }

    /// "Join yarn with sl st in next st".
    pub fn rejoin(&mut self, w: &mut Worker, rejoin: &Rejoin, at: At) -> Done {
        if let Some(name) = &rejoin.colour {
            w.take_colour(name, at.0)?;
        }
        let mut site = Site::NOWHERE;
        if let Some(t) = &rejoin.target {
            let ring = t.place == PlaceKind::Ring;
            if ring {
                self.on = On::Ring;
                site = Site::RING;
                self.last = Some((site, 0));
            } else {
                site = self.join_at(w, t, at)?;
            }
        } else if self.on == On::Top
            && let Some(spot) = self.list.get(self.pos)
        {
            site = Site::at(*spot);
        }
        self.rejoined = true;
        let kind = match (rejoin.with, &rejoin.target) {
            (Some(kind), _) => kind,
            // Merely joined yarn is tied on and makes no stitch; joined through one loop of a
            // stitch to be worked, it is drawn through as a slip stitch (a phrasebook case counts
            // it so).
            (None, Some(t)) if t.loops != Loop::Both && t.reach != Reach::Any => Kind::SL_ST,
            (None, _) => return Ok(()),
        };
        if rejoin.counts {
            if let Some((_, i)) = self.last
                && self.on != On::Ring
            {
                self.use_up(i, 1);
                self.asks.stitches = true;
            }
            self.rejoined = false;
            let made = Made::Stitch { count: Number::ONE, kind };
            let loops = rejoin.target.as_ref().map_or(Loop::Both, |t| t.loops);
            return self.make(w, site, Making::of(&made, loops, at.0));
        }
        self.room(w, 1, at.0)?;
        self.push(w, kind, Role::Travel, site, Loop::Both);
        Ok(())
    }

    /// The place yarn is joined at; the hand stands on it.
    fn join_at(&mut self, w: &mut Worker, t: &Target, at: At) -> Done<Site> {
        let n = match &t.reach {
            Reach::Nth(n) => w.value(n, t.at)?,
            _ => 1,
        };
        let away = self.goes_away(w, t);
        if let Some(of) = t.of.as_ref().filter(|_| !away)
            && matches!(t.loops, Loop::Front | Loop::Back)
        {
            let of = w.value(of, t.at)? as u32;
            if !self.go_to_free(w, t.loops, Some(of)) && of != w.number && w.known == Known::All {
                return super::places::no_free_loops(at.0);
            }
        }
        if t.place == PlaceKind::RowEnd && self.on != On::RowEnds {
            self.go_to(w, On::RowEnds, at.0)?;
        }
        if let (PlaceKind::Chain, Some(_)) = (&t.place, &t.of) {
            self.go_to(w, On::Foundation, at.0)?;
        }
        if self.on == On::Nothing && w.known == Known::All {
            return fault("wrong-place", at.0, "there is nothing to join the yarn to");
        }
        if n == 0 {
            return fault("wrong-place", at.0, "places are counted from 1: there is no 0th");
        }
        let mut found = None;
        let mut left = n;
        for i in self.pos..self.list.len() {
            let fits = self.list.get(i).is_some_and(|s| match &t.place {
                PlaceKind::ChainSpace(_) => self.fits(w, *s, &t.place),
                _ => {
                    s.is_stitch()
                        && (matches!(t.reach, Reach::Next(_) | Reach::Nth(_))
                            || self.fits(w, *s, &t.place)
                            || s.rise)
                }
            });
            if fits {
                left -= 1;
                if left == 0 {
                    found = Some(i);
                    break;
                }
            }
        }
        let Some(i) = found else {
            return fault(
                "overrun",
                at.0,
                "the place to join at lies beyond the end of the row below",
            );
        };
        self.pos = i;
        self.started_at = i;
        if self.first_used.is_none() {
            self.first_used = Some(i);
        }
        let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
        self.last = Some((site, i));
        Ok(site)
    }

    /// "sl st last row to foundation ch through both thicknesses".
    pub fn seam(&mut self, w: &mut Worker, seam: &Seam, at: At) -> Done {
        self.end.seam = true;
        let last = w.top.iter().filter(|s| s.is_stitch()).count() as u64;
        let first = w.foundation_worked.iter().filter(|s| s.is_stitch()).count() as u64;
        let said = match &seam.count {
            Some(n) => Some(w.value(n, at)?),
            None => None,
        };
        let flat = w.shape == Some(Shape::Row) && first > 0;
        if flat && w.known == Known::All {
            let slip = seam.with.is_some();
            if slip && seam.to_foundation_or_through() && last != first {
                return fault_help(
                    "seam-mismatch",
                    at.0,
                    format!("the last row has {last} sts and the foundation edge {first}"),
                    "both edges need the same number of stitches",
                );
            }
            if let Some(n) = said
                && slip
                && n != last
            {
                return fault_help(
                    "seam-mismatch",
                    at.0,
                    format!("the seam is {n} sts, and the last row has {last}"),
                    format!("seam {last} sts"),
                );
            }
        }
        let n = said.unwrap_or(last);
        let kind = seam.with.unwrap_or(Kind::SL_ST);
        let mut made = 0;
        if seam.with.is_some() {
            self.room(w, n, at.0)?;
            let spots: Vec<Spot> = w.top.iter().filter(|s| s.is_stitch()).copied().collect();
            for i in 0..n {
                let site = spots.get(i as usize).map_or(Site::NOWHERE, |s| Site::at(*s));
                self.push(w, kind, Role::Seam, site, Loop::Both);
            }
            made = n as u32;
        }
        w.seam_stitches = Some(n);
        w.fabric.seams.push(SeamMade {
            line: self.line as u32,
            stitches: made,
            to_foundation: seam.to_foundation,
        });
        Ok(())
    }
}

impl Seam {
    /// Whether both edges are worked through, stitch for stitch.
    fn to_foundation_or_through(&self) -> bool {
        let low = self.words.to_ascii_lowercase();
        self.to_foundation
            || low.contains("both")
            || low.contains("thickness")
            || low.contains("layers")
    }
}
