//! Words as single numbers. The reader asks of each word whether it is one of some hundred known
//! ones; a number is compared in one step where letters are compared one by one.

/// A word as a number: 0 for no word.
///
/// A word of up to eight bytes is its own key, byte by byte, so no two of them share one. A longer
/// word is mixed down to 63 bits, with the highest set, which no letter of ours sets.
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

    /// Which two of twice 64 heaps the word falls into; that two words share them tells nothing.
    #[inline(always)]
    pub const fn heaps(self) -> Heaps {
        let mixed = self.0.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        Heaps((mixed >> 58) as u8, (mixed >> 52) as u8 & 63)
    }

    /// Its place in a list of words.
    #[inline]
    pub fn place_in(self, words: Keys) -> Option<usize> {
        if !words.may_have(self.heaps()) {
            return None;
        }
        words.list.iter().position(|w| *w == self)
    }
}

/// The two heaps that a word falls into.
#[derive(Clone, Copy, Debug)]
pub(super) struct Heaps(u8, u8);

/// Some words, and the heaps that they fall into: most words that are none of them are told by
/// their heaps, without a look at the list.
#[derive(Clone, Copy, Debug)]
pub(super) struct Keys {
    first: u64,
    second: u64,
    list: &'static [Key],
}

impl Keys {
    /// These words.
    pub const fn of(list: &'static [Key]) -> Keys {
        let (mut first, mut second) = (0, 0);
        let mut rest = list;
        while let [word, others @ ..] = rest {
            let Heaps(a, b) = word.heaps();
            first |= 1 << a;
            second |= 1 << b;
            rest = others;
        }
        Keys { first, second, list }
    }

    /// The words in their order.
    #[inline(always)]
    pub const fn list(self) -> &'static [Key] {
        self.list
    }

    /// Whether it stands in the list. Not set in where it is asked: few words come so far.
    #[inline(never)]
    pub fn hold(self, word: Key) -> bool {
        self.list.contains(&word)
    }

    /// Whether a word of these heaps can be one of them.
    #[inline(always)]
    pub const fn may_have(self, heaps: Heaps) -> bool {
        self.first >> (heaps.0 & 63) & self.second >> (heaps.1 & 63) & 1 != 0
    }

    /// Whether a word is one of them.
    #[inline(always)]
    pub fn contains(self, word: Key) -> bool {
        self.may_have(word.heaps()) && self.hold(word)
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
    use super::Key;
    use std::collections::HashMap;

    /// Every word of the phrasebook's texts, and no two share a key.
    #[test]
    fn words_of_the_phrasebook_have_keys_of_their_own() {
        let text = include_str!("../../tests/phrasebook/public.jsonl").to_ascii_lowercase();
        let mut seen: HashMap<u64, &str> = HashMap::new();
        for word in text.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty()) {
            let before = seen.insert(Key::of(word).0, word);
            assert!(before.is_none_or(|b| b == word), "“{word}” and “{before:?}”");
        }
        assert!(seen.len() > 500, "{} words", seen.len());
    }

    #[test]
    fn short_and_long_words_differ_in_their_highest_bit() {
        assert_eq!(Key::of("st"), Key(0x7374));
        assert!(Key::of("foundation").0 >> 63 == 1);
        assert!(Key::of("") == Key::NONE);
    }
}
