//! Lines: which sizes work them, and whether they are said once or round by round.

use super::labels::Span;
use super::numbers::{Amount, Cell};
use super::order::capital;
use super::phrase::Phrase;
use super::repeats::Depth;
use super::voice::{Lane, Voice};
use super::{Bit, Said, SaidKind, SizeVoice, Style};
use crate::limits;
use crate::written::Counter;
use crate::written::tree::*;

/// Says every line of a piece.
pub(super) fn say(piece: &Piece, style: &Style, sizes: &[SizeVoice]) -> Vec<Said> {
    let mut speaker = Speaker {
        voice: Voice::new(piece, style, sizes),
        last: vec![Some(0); sizes.len()],
        block: None,
        said: Vec::new(),
    };
    for (i, line) in piece.lines.iter().enumerate() {
        speaker.voice.line = i;
        speaker.line(line);
    }
    speaker.said
}

/// One who goes through the lines.
struct Speaker<'a> {
    voice: Voice<'a>,
    /// For each size the number of the last row or round worked, while it is known.
    last: Vec<Option<u32>>,
    /// The sizes the lines are limited to here.
    block: Option<Vec<String>>,
    said: Vec<Said>,
}

impl Speaker<'_> {
    fn line(&mut self, line: &Line) {
        let worked = self.worked(line.sizes.as_deref());
        self.voice.lanes = worked.iter().map(|w| Lane { working: *w, counter: None }).collect();
        let nobody = !worked.is_empty() && worked.iter().all(|w| !w);
        match &line.kind {
            LineKind::SizesOnly(ids) => self.sizes_only(ids),
            LineKind::AllSizes => self.all_sizes(),
            _ if nobody => {}
            LineKind::Heading(words) => {
                let words = Phrase::of(words);
                self.push(SaidKind::Heading, Phrase::default(), words, None);
            }
            LineKind::Note(note) => {
                let words = self.voice.note(note);
                self.push(SaidKind::Note, Phrase::default(), words, None);
            }
            LineKind::Special(i) => self.special(*i),
            LineKind::Work(work) => self.work(work, line.sizes.as_deref()),
            LineKind::Unread(_) => {}
        }
    }

    /// Which of the sizes said a line is for.
    fn worked(&self, only: Option<&[String]>) -> Vec<bool> {
        let is_for = |id: &str| only.is_none_or(|ids| ids.iter().any(|i| i == id));
        self.voice.sizes.iter().map(|s| is_for(s.id)).collect()
    }

    fn push(&mut self, kind: SaidKind, label: Phrase, body: Phrase, count: Option<Phrase>) {
        let said = Said {
            line: self.voice.line,
            kind,
            label: label.into_bits(),
            body: body.into_bits(),
            count: count.map(Phrase::into_bits),
            worked: self.voice.lanes.iter().map(|l| l.working).collect(),
            rounds: vec![None; self.voice.sizes.len()],
            again: None,
        };
        self.said.push(said);
    }

    fn sizes_only(&mut self, ids: &[String]) {
        self.block = Some(ids.to_vec());
        let worked = self.worked(Some(ids));
        // Where all the sizes said are meant, or none is, the limit says nothing.
        let mixed = worked.iter().any(|w| *w) && worked.iter().any(|w| !w);
        if !(mixed || worked.is_empty()) {
            return;
        }
        let words = self.voice.sizes_words(ids).text("only:");
        self.push(SaidKind::Sizes, Phrase::default(), words, None);
    }

    fn all_sizes(&mut self) {
        let before = self.block.take();
        let told = self.voice.sizes.is_empty()
            || self
                .said
                .iter()
                .rev()
                .find(|s| s.kind == SaidKind::Sizes)
                .is_some_and(|s| plain_is_only(&s.body));
        if before.is_some() && told {
            self.push(SaidKind::Sizes, Phrase::default(), Phrase::of("All sizes:"), None);
        }
    }

    fn special(&mut self, index: usize) {
        if let Some((label, body)) = self.voice.definition(index) {
            self.push(SaidKind::Special, label, body, None);
        }
    }

    fn work(&mut self, work: &Work, only: Option<&[String]>) {
        if let Some(label) = &work.label {
            self.voice.shape = label.shape;
        }
        let spans = self.spans(work);
        for (lane, span) in self.voice.lanes.iter_mut().zip(&spans) {
            lane.working = lane.working && span.working;
            lane.counter = span.rounds.first().map(|n| Counter { round: *n, step: 1 });
        }
        let nobody = !self.voice.sizes.is_empty() && self.voice.lanes.iter().all(|l| !l.working);
        if nobody {
            return;
        }
        let limit = self.limit(only);
        let steps = spans.iter().map(|s| s.rounds.len()).max().unwrap_or(0);
        let whole = self.said_whole(work, &spans, &limit);
        if steps > 1 && (self.voice.style.each_round || self.voice.saw_counter.get()) {
            self.by_round(work, &spans, steps, &limit);
        } else if let Some(said) = whole {
            self.said.push(said);
        }
        self.advance(work, &spans);
    }

    /// `Sizes child and adult-s only` before a line that is limited by itself.
    fn limit(&self, only: Option<&[String]>) -> Phrase {
        let voice = &self.voice;
        match only {
            Some(ids) if self.block.as_deref() != Some(ids) => {
                let worked = self.worked(Some(ids));
                let all = !worked.is_empty() && worked.iter().all(|w| *w);
                if all { Phrase::default() } else { voice.sizes_words(ids).text("only:") }
            }
            _ => Phrase::default(),
        }
    }

    /// The rows or rounds of a line in each size.
    fn spans(&self, work: &Work) -> Vec<Span> {
        (0..self.voice.sizes.len()).map(|size| self.span(work, size)).collect()
    }

    fn span(&self, work: &Work, size: usize) -> Span {
        if !self.voice.lanes.get(size).is_some_and(|l| l.working) {
            return Span::default();
        }
        let number = |n: &Number| match self.voice.cell(n, size) {
            Cell::Worth(n) => u32::try_from(n.max(0)).ok(),
            _ => None,
        };
        let last = self.last.get(size).copied().flatten();
        let run = |a: u32, b: u32| {
            let rounds: Vec<u32> = (a..=b).take(limits::ROUNDS as usize).collect();
            Span { working: !rounds.is_empty(), rounds }
        };
        let unknown = Span { working: true, rounds: Vec::new() };
        let after = |n: u32| match last {
            _ if n == 0 => Span::default(),
            Some(last) => run(last.saturating_add(1), last.saturating_add(n)),
            None => unknown.clone(),
        };
        match work.label.as_ref().map(|l| &l.which) {
            Some(Which::One(n) | Which::EveryOther(n) | Which::Onward(n)) => {
                number(n).map_or(unknown, |n| run(n, n))
            }
            Some(Which::Range(a, b)) => match (number(a), number(b)) {
                (Some(a), Some(b)) => run(a, b),
                _ => unknown,
            },
            Some(Which::List(all)) => {
                Span { working: true, rounds: all.iter().filter_map(number).collect() }
            }
            Some(Which::Next(n)) => number(n).map_or_else(|| unknown.clone(), after),
            Some(Which::Named(_)) => after(1),
            None => unknown,
        }
    }

    /// Moves the numbers of the last rounds on.
    fn advance(&mut self, work: &Work, spans: &[Span]) {
        for (size, span) in spans.iter().enumerate() {
            if !span.working {
                continue;
            }
            let extra = if work.label.is_none() { self.unnumbered(work, size) } else { Some(0) };
            if let Some(last) = self.last.get_mut(size) {
                *last = match (span.rounds.last(), extra) {
                    (Some(n), _) => Some(*n),
                    (None, Some(n)) if work.label.is_none() => last.map(|l| l.saturating_add(n)),
                    _ => None,
                };
            }
        }
    }

    /// How many rows or rounds a line without a label works, if that can be told.
    fn unnumbered(&self, work: &Work, size: usize) -> Option<u32> {
        let number = |n: &Number| match self.voice.cell(n, size) {
            Cell::Worth(n) => u32::try_from(n).ok(),
            _ => None,
        };
        let mut all = 0;
        for step in &work.steps {
            match &step.act {
                Act::Even(Even { count: Some(n), shaping, .. }) => {
                    let n = number(n)?;
                    all += match shaping {
                        Some(Shaping { at: ShapedAt::Ends { every: 2, .. }, .. }) => {
                            (2 * n).saturating_sub(1)
                        }
                        _ => n,
                    };
                }
                Act::Even(_) => return None,
                Act::Again(again) => {
                    let mut each = again.last.as_ref().map_or(Some(0), number)?;
                    for (a, b) in &again.which {
                        each += number(b)?.checked_sub(number(a)?)? + 1;
                    }
                    all += match &again.times {
                        AgainTimes::AsLabelled => each,
                        AgainTimes::Courses(n) => number(n)?,
                        AgainTimes::Times(n) => each.saturating_mul(number(n)?),
                        _ => return None,
                    };
                }
                _ => {}
            }
        }
        Some(all)
    }

    /// The line in one sentence.
    fn said_whole(&self, work: &Work, spans: &[Span], limit: &Phrase) -> Option<Said> {
        self.voice.saw_counter.set(false);
        let voice = &self.voice;
        let label = work.label.as_ref().map(|l| voice.label(l, spans));
        let (label, body) = match voice.own(&work.words) {
            Some((opening, body)) => (Some(opening), body),
            None => (label, voice.steps(&work.steps, Depth::default())),
        };
        if body.is_empty() && !work.steps.is_empty() {
            return None;
        }
        let count = voice.claims(&work.claims);
        let rounds = spans.iter().map(Span::ends).collect();
        Some(self.instruction(work, label, body, count, limit, rounds))
    }

    fn instruction(
        &self,
        work: &Work,
        label: Option<Phrase>,
        body: Phrase,
        count: Phrase,
        limit: &Phrase,
        rounds: Vec<Option<(u32, u32)>>,
    ) -> Said {
        let seam = work.steps.iter().any(|s| matches!(s.act, Act::Seam(_)));
        let label = label.unwrap_or_else(|| Phrase::of(if seam { "Seam" } else { "" }));
        let mut label = limit.clone().then(label);
        if let Some(side) = work.side {
            label = label.then(self.voice.side(side));
        }
        Said {
            line: self.voice.line,
            kind: SaidKind::Instruction,
            label: label.into_bits(),
            body: sentence(body).into_bits(),
            count: (!count.is_empty()).then(|| count.into_bits()),
            worked: self.voice.lanes.iter().map(|l| l.working).collect(),
            rounds,
            again: self.once_more(work),
        }
    }

    /// The row or round that is all this one is.
    fn once_more(&self, work: &Work) -> Option<u32> {
        let [step] = work.steps.as_slice() else { return None };
        let Act::Again(again) = &step.act else { return None };
        match self.voice.again_now(again)? {
            Amount::Same(n) => u32::try_from(n).ok(),
            _ => None,
        }
    }

    /// The line round by round: sizes walk side by side from the first round of each.
    fn by_round(&mut self, work: &Work, spans: &[Span], steps: usize, limit: &Phrase) {
        let before = self.voice.lanes.clone();
        let claims_count = {
            self.voice.saw_counter.set(false);
            let _ = self.voice.claims(&work.claims);
            self.voice.saw_counter.get()
        };
        for step in 0..steps {
            for ((lane, span), was) in self.voice.lanes.iter_mut().zip(spans).zip(&before) {
                let round = span.rounds.get(step);
                lane.working = was.working && round.is_some();
                lane.counter = round.map(|n| Counter { round: *n, step: step as u32 + 1 });
            }
            self.voice.step = Some(step);
            let label = work.label.as_ref().map(|l| self.voice.label_of_round(l, spans, step));
            let body = self.voice.steps(&work.steps, Depth::default());
            let count = if claims_count {
                self.voice.claims(&work.claims)
            } else {
                self.last_claims(work, spans, step)
            };
            let rounds = spans.iter().map(|s| s.rounds.get(step).map(|n| (*n, *n))).collect();
            if !body.is_empty() || work.steps.is_empty() {
                let said = self.instruction(work, label, body, count, limit, rounds);
                self.said.push(said);
            }
        }
        self.voice.step = None;
        self.voice.lanes = before;
    }

    /// A count that does not change with the rounds is that of the last of them.
    fn last_claims(&mut self, work: &Work, spans: &[Span], step: usize) -> Phrase {
        let lanes = self.voice.lanes.clone();
        for (lane, span) in self.voice.lanes.iter_mut().zip(spans) {
            lane.working = lane.working && step + 1 == span.rounds.len();
        }
        let strict = self.voice.lanes.iter().zip(&lanes).any(|(a, b)| a.working != b.working);
        let count = match self.voice.lanes.iter().any(|l| l.working) {
            true => {
                self.voice.strict = strict;
                self.voice.claims(&work.claims)
            }
            false => Phrase::default(),
        };
        self.voice.strict = false;
        self.voice.lanes = lanes;
        count
    }
}

fn plain_is_only(body: &[Bit]) -> bool {
    super::plain(body).ends_with("only:")
}

/// A sentence: a capital first, a full stop last.
fn sentence(body: Phrase) -> Phrase {
    if body.is_empty() {
        return body;
    }
    stopped(capital(body))
}

/// With a full stop, unless it ends in one.
fn stopped(body: Phrase) -> Phrase {
    let ended = super::plain(body.bits()).ends_with(['.', ':', '!']);
    if ended { body } else { body.glue(".") }
}

impl Voice<'_> {
    /// `Sizes child and adult-s`: ids where no sizes are said, else printed names.
    fn sizes_words(&self, ids: &[String]) -> Phrase {
        let named: Vec<&str> = match self.sizes.is_empty() {
            true => ids.iter().map(String::as_str).collect(),
            false => self
                .sizes
                .iter()
                .filter(|s| ids.iter().any(|i| i == s.id))
                .map(|s| s.name)
                .collect(),
        };
        let head = if named.len() == 1 { "Size" } else { "Sizes" };
        Phrase::of(head).text(&named.join(", "))
    }

    /// A line in its author's words: what it is opened with, and the rest.
    fn own(&self, words: &Words) -> Option<(Phrase, Phrase)> {
        let words = words.0.as_str();
        if words.is_empty() {
            return None;
        }
        let is_name = |head: &str| head.chars().all(|c| c.is_alphabetic() || " -".contains(c));
        Some(match words.split_once(':').filter(|(head, _)| is_name(head)) {
            Some((head, rest)) => (self.free(head), self.free(rest.trim_start())),
            None => (Phrase::default(), self.free(words)),
        })
    }

    /// A note: its words, or where they must change terms the conventions it sets.
    fn note(&self, note: &Note) -> Phrase {
        self.free(&note.words)
    }

    /// The definition of a special stitch: its names, and how it is made.
    pub fn definition(&self, index: usize) -> Option<(Phrase, Phrase)> {
        let special = self.piece.specials.get(index)?;
        let name = match self.full() {
            true => Phrase::of(&super::voice::in_full(&special.name)),
            false => Phrase::of(&special.name),
        };
        let plain = special.abbr.is_empty() || special.abbr == special.name || self.full();
        let label = if plain { name } else { name.text(&format!("({})", special.abbr)) };
        Some((label, stopped(self.free(&special.text))))
    }

    /// The one row a reference means in the round being said, where rounds are said one by
    /// one: "Rnds 5–14: Rep Rnds 3 and 4" is Rnd 3, Rnd 4, Rnd 3 in turn.
    pub fn again_now(&self, again: &Again) -> Option<Amount> {
        let step = self.step?;
        if !matches!(again.times, AgainTimes::AsLabelled | AgainTimes::Times(_)) {
            return None;
        }
        let mut cells = Vec::new();
        for (size, lane) in self.lanes.iter().enumerate() {
            if !lane.working {
                cells.push(Cell::Absent);
                continue;
            }
            let mut all: Vec<i64> = Vec::new();
            if let (Some(n), Some(Counter { round, step })) = (&again.last, lane.counter) {
                let Cell::Worth(n) = self.cell(n, size) else { return None };
                let first = i64::from(round) - i64::from(step) + 1;
                all.extend((first - n..first).take(limits::ROUNDS as usize));
            }
            for (a, b) in &again.which {
                match (self.cell(a, size), self.cell(b, size)) {
                    (Cell::Worth(a), Cell::Worth(b)) => {
                        all.extend((a..=b).take(limits::ROUNDS as usize))
                    }
                    _ => return None,
                }
            }
            cells.push(Cell::Worth(*all.get(step.checked_rem(all.len())?)?));
        }
        Some(Amount::of(cells))
    }
}
