//! Which items of an old list answer to which of a new one.

/// One step of the way from an old list to a new one; indices into the two lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The old item became (or stayed) the new one.
    Both(usize, usize),
    /// The old item went.
    Old(usize),
    /// The new item came.
    New(usize),
}

/// What leaving an item alone costs; two of these are dearer than any pairing worth making.
pub const ALONE: u32 = 1000;

/// Beyond this many comparisons the middles are paired in order, not by likeness: still a
/// true way from old to new, only less short.
const MOST: usize = 4_000_000;

/// The cheapest way from `old` to `new`. `cost` of pairing two items is 0 where they are
/// equal and less than 2 × [`ALONE`] where pairing them helps a reader.
pub fn align<T: PartialEq>(old: &[T], new: &[T], cost: impl Fn(&T, &T) -> u32) -> Vec<Step> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let rest = old.len().min(new.len()) - head;
    let tail =
        old.iter().rev().zip(new.iter().rev()).take(rest).take_while(|(a, b)| a == b).count();
    let (old_end, new_end) = (old.len() - tail, new.len() - tail);
    let mut steps: Vec<Step> = (0..head).map(|i| Step::Both(i, i)).collect();
    let (a, b) =
        (old.get(head..old_end).unwrap_or_default(), new.get(head..new_end).unwrap_or_default());
    let middle = if a.len().saturating_mul(b.len()) > MOST {
        in_order(a.len(), b.len())
    } else {
        cheapest(a, b, cost)
    };
    steps.extend(middle.into_iter().map(|s| shifted(s, head)));
    steps.extend((0..tail).map(|i| Step::Both(old_end + i, new_end + i)));
    steps
}

fn shifted(step: Step, by: usize) -> Step {
    match step {
        Step::Both(i, j) => Step::Both(i + by, j + by),
        Step::Old(i) => Step::Old(i + by),
        Step::New(j) => Step::New(j + by),
    }
}

fn in_order(old: usize, new: usize) -> Vec<Step> {
    let both = old.min(new);
    let mut steps: Vec<Step> = (0..both).map(|i| Step::Both(i, i)).collect();
    steps.extend((both..old).map(Step::Old));
    steps.extend((both..new).map(Step::New));
    steps
}

/// The edit distance table, then the way back through it.
fn cheapest<T>(a: &[T], b: &[T], cost: impl Fn(&T, &T) -> u32) -> Vec<Step> {
    let wide = b.len() + 1;
    let mut best = vec![0_u32; (a.len() + 1) * wide];
    let mut step = vec![Step::Old(0); best.len()];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            let at = |i: usize, j: usize| best.get(i * wide + j).copied().unwrap_or(u32::MAX);
            let mut found = (if i + j == 0 { 0 } else { u32::MAX }, Step::Old(0));
            let (x, y) = (i.checked_sub(1), j.checked_sub(1));
            if let (Some(x), Some(y)) = (x, y)
                && let (Some(p), Some(q)) = (a.get(x), b.get(y))
            {
                found = (at(x, y).saturating_add(cost(p, q)), Step::Both(x, y));
            }
            if let Some(x) = x {
                let c = at(x, j).saturating_add(ALONE);
                if c < found.0 {
                    found = (c, Step::Old(x));
                }
            }
            if let Some(y) = y {
                let c = at(i, y).saturating_add(ALONE);
                if c < found.0 {
                    found = (c, Step::New(y));
                }
            }
            if let (Some(b), Some(s)) = (best.get_mut(i * wide + j), step.get_mut(i * wide + j)) {
                (*b, *s) = found;
            }
        }
    }
    let mut way = Vec::new();
    let (mut i, mut j) = (a.len(), b.len());
    while i + j > 0 {
        let s = step.get(i * wide + j).copied().unwrap_or(Step::Old(0));
        way.push(s);
        (i, j) = match s {
            Step::Both(x, y) => (x, y),
            Step::Old(x) => (x, j),
            Step::New(y) => (i, y),
        };
    }
    way.reverse();
    way
}

/// How unlike two runs of words are: 0 for the same words, 2 × [`ALONE`] for none in
/// common, whatever their order.
pub fn unlike(old: &str, new: &str) -> u32 {
    let mut a: Vec<&str> = old.split_whitespace().collect();
    let mut b: Vec<&str> = new.split_whitespace().collect();
    a.sort_unstable();
    b.sort_unstable();
    let total = a.len() + b.len();
    if total == 0 {
        return 0;
    }
    let (mut i, mut j, mut common) = (0, 0, 0_usize);
    while let (Some(x), Some(y)) = (a.get(i), b.get(j)) {
        match x.cmp(y) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => (i, j, common) = (i + 1, j + 1, common + 2),
        }
    }
    let share = (total - common) * 2 * ALONE as usize / total;
    u32::try_from(share).unwrap_or(2 * ALONE)
}
