//! Putting words one after the other, with blanks between them.

use super::bits::Bit;

/// A run of words under construction.
#[derive(Clone, Debug, Default)]
pub(super) struct Phrase {
    bits: Vec<Bit>,
    tight: bool,
}

impl Phrase {
    /// A phrase of one word.
    pub fn of(text: &str) -> Phrase {
        Phrase::default().text(text)
    }

    /// A phrase of one bit.
    pub fn bit_of(bit: Bit) -> Phrase {
        Phrase::default().bit(bit)
    }

    /// Whether nothing was said.
    pub fn is_empty(&self) -> bool {
        self.bits.is_empty()
    }

    /// Words after a blank.
    pub fn text(self, text: &str) -> Phrase {
        if text.is_empty() { self } else { self.bit(Bit::Text(text.to_owned())) }
    }

    /// Words with no blank before them.
    pub fn glue(mut self, text: &str) -> Phrase {
        self.tight = true;
        self.text(text)
    }

    /// Words with no blank after them: an opening bracket, a star.
    pub fn open(self, text: &str) -> Phrase {
        let mut phrase = self.text(text);
        phrase.tight = true;
        phrase
    }

    /// A bit after a blank.
    pub fn bit(mut self, bit: Bit) -> Phrase {
        let blank = !self.bits.is_empty() && !self.tight;
        self.tight = false;
        match (bit, self.bits.last_mut()) {
            (Bit::Text(text), Some(Bit::Text(last))) => {
                if blank {
                    last.push(' ');
                }
                last.push_str(&text);
            }
            (Bit::Text(text), Some(_)) if blank => self.bits.push(Bit::Text(format!(" {text}"))),
            (bit, last) => {
                match last {
                    Some(Bit::Text(last)) if blank => last.push(' '),
                    Some(_) if blank => self.bits.push(Bit::Text(" ".to_owned())),
                    _ => {}
                }
                self.bits.push(bit);
            }
        }
        self
    }

    /// Another phrase after a blank.
    pub fn then(mut self, other: Phrase) -> Phrase {
        let tight = other.tight;
        let mut first = true;
        for bit in other.bits {
            if !first {
                self.tight = true;
            }
            first = false;
            self = self.bit(bit);
        }
        self.tight = self.tight || tight;
        self
    }

    /// Another phrase with no blank before it.
    pub fn glue_phrase(mut self, other: Phrase) -> Phrase {
        self.tight = true;
        self.then(other)
    }

    /// The same words, kept on one line.
    pub fn kept(self) -> Phrase {
        match self.bits.len() {
            0 => self,
            1 if matches!(self.bits.first(), Some(Bit::Keep(_))) => self,
            _ => Phrase::bit_of(Bit::Keep(self.bits)),
        }
    }

    /// The bits said.
    pub fn into_bits(self) -> Vec<Bit> {
        self.bits
    }

    /// The bits so far.
    pub fn bits(&self) -> &[Bit] {
        &self.bits
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed(items: Vec<Phrase>) -> Phrase {
    let last = items.len().saturating_sub(1);
    let mut out = Phrase::default();
    for (i, item) in items.into_iter().enumerate() {
        out = match i {
            0 => item,
            _ if i == last => out.text("and").then(item),
            _ => out.glue(",").then(item),
        };
    }
    out
}
