//! Words as single numbers. The reader asks of each word whether it is one of some hundred known
//! ones; a number is compared in one step where letters are compared one by one.

/// A word as a number: 0 for no word.
///
/// A word of up to eight bytes is its own key, byte by byte, so no two of them share one. A longer
/// word is mixed down to 63 bits, with the highest set, which no letter of ours sets: two such
/// words would share a key once in 2^63 pairs, and be taken for each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Key(u64);

impl Key {
    /// No word stands here.
    pub const NONE: Key = Key(0);

    /// The key of a word in lower case.
    pub const fn of(word: &str) -> Key {
        Key::of_bytes(word.as_bytes())
    }

    /// The key of the bytes of a word in lower case.
    #[inline]
    pub const fn of_bytes(mut word: &[u8]) -> Key {
        let mut key = 0u64;
        if word.len() <= 8 {
            while let [first, rest @ ..] = word {
                key = key << 8 | *first as u64;
                word = rest;
            }
            return Key(key);
        }
        while let [first, rest @ ..] = word {
            // FNV-1a, so that each letter changes all bits behind it.
            key = (key ^ *first as u64).wrapping_mul(0x0100_0000_01b3);
            word = rest;
        }
        Key(key | 1 << 63)
    }

    /// The key as a number, to be kept.
    #[inline(always)]
    pub const fn number(self) -> u64 {
        self.0
    }

    /// The key that was kept as a number.
    #[inline(always)]
    pub const fn of_number(number: u64) -> Key {
        Key(number)
    }

    /// The marks of the word.
    #[inline(always)]
    pub const fn marks(self) -> Marks {
        let mixed = self.0.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        Marks((mixed >> 58) as u8, (mixed >> 52) as u8 & 63)
    }

    /// Its place in a list of words.
    #[inline]
    pub fn place_in(self, words: Keys) -> Option<usize> {
        words.sieve.lets_pass(self.marks()).then_some(())?;
        words.list.iter().position(|w| *w == self)
    }
}

/// Two numbers below 64 that a word comes to. Two words may share them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Marks(u8, u8);

/// The marks of many words. A word that it does not let pass is none of them; one that it does
/// may be one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sieve {
    first: u64,
    second: u64,
}

impl Sieve {
    /// For the words of all these lists.
    pub const fn of(lists: &[Keys]) -> Sieve {
        let mut all = Sieve { first: 0, second: 0 };
        let mut rest = lists;
        while let [list, others @ ..] = rest {
            all.first |= list.sieve.first;
            all.second |= list.sieve.second;
            rest = others;
        }
        all
    }

    /// Whether a word of these marks may be one of them.
    #[inline(always)]
    pub const fn lets_pass(self, marks: Marks) -> bool {
        self.first >> (marks.0 & 63) & self.second >> (marks.1 & 63) & 1 != 0
    }
}

/// Some words, and the sieve that keeps out nearly all others.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keys {
    sieve: Sieve,
    list: &'static [Key],
}

impl Keys {
    /// These words.
    pub const fn of(list: &'static [Key]) -> Keys {
        let mut sieve = Sieve { first: 0, second: 0 };
        let mut rest = list;
        while let [word, others @ ..] = rest {
            let Marks(a, b) = word.marks();
            sieve.first |= 1 << a;
            sieve.second |= 1 << b;
            rest = others;
        }
        Keys { sieve, list }
    }

    /// The words in their order.
    #[inline(always)]
    pub const fn list(self) -> &'static [Key] {
        self.list
    }

    /// Its sieve.
    #[inline(always)]
    pub const fn sieve(self) -> Sieve {
        self.sieve
    }

    /// Whether a word is one of them.
    #[inline(always)]
    pub fn contains(self, word: Key) -> bool {
        self.sieve.lets_pass(word.marks()) && self.lists(word)
    }

    /// Whether it stands in the list. Not inlined: few words come through the sieve.
    #[inline(never)]
    pub fn lists(self, word: Key) -> bool {
        self.list.contains(&word)
    }
}

/// The keys of these words, reckoned when the program is built.
macro_rules! keys {
    ($($word:literal),* $(,)?) => {
        const {
            const LIST: &[$crate::written::key::Key] = &[$($crate::written::key::Key::of($word)),*];
            $crate::written::key::Keys::of(LIST)
        }
    };
}
pub(super) use keys;

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::{Key, Sieve};
    use crate::written::lexer::lex;
    use std::collections::HashMap;

    /// Every word of the phrasebook's cases, as the lexer cuts them.
    fn words() -> Vec<String> {
        let mut words = Vec::new();
        for cases in [
            include_str!("../../tests/phrasebook/public.jsonl"),
            include_str!("../../tests/phrasebook/own.jsonl"),
        ] {
            let low = cases.to_ascii_lowercase();
            let mut tokens = Vec::new();
            lex(cases, &low, 0, low.len(), &mut tokens);
            let word = |t: &super::super::lexer::Token| low[t.span().range()].to_owned();
            words.extend(tokens.iter().filter(|t| t.key() != Key::NONE).map(word));
        }
        words
    }

    #[test]
    fn words_of_the_phrasebook_have_keys_of_their_own() {
        let mut seen: HashMap<u64, String> = HashMap::new();
        for word in words() {
            let before = seen.insert(Key::of(&word).0, word.clone());
            assert!(before.as_ref().is_none_or(|b| *b == word), "“{word}” and “{before:?}”");
        }
        assert!(seen.len() > 600, "{} words", seen.len());
    }

    #[test]
    fn a_sieve_keeps_back_none_of_its_words_and_most_others() {
        let (few, more) = (keys!["row", "rows"], keys!["rnd", "round", "together", "altogether"]);
        let all = Sieve::of(&[few, more]);
        for word in few.list().iter().chain(more.list()) {
            assert!(all.lets_pass(word.marks()));
            assert!(few.contains(*word) != more.contains(*word));
        }
        let words = words();
        let passed = words.iter().filter(|w| all.lets_pass(Key::of(w).marks())).count();
        let known = |w: &&String| few.contains(Key::of(w)) || more.contains(Key::of(w));
        let right = words.iter().filter(known).count();
        assert!(right > 100, "{right}");
        assert!(passed - right < (words.len() - right) / 20, "{passed} of {}", words.len());
    }

    #[test]
    fn short_and_long_words_differ_in_their_highest_bit() {
        assert_eq!(Key::of("st"), Key(0x7374));
        assert!(Key::of("foundation").0 >> 63 == 1);
        assert!(Key::of("") == Key::NONE);
    }
}
