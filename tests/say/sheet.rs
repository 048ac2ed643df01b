//! A size's numbers for tests: names with values, and sums over them.

use brimwright::written::{Counter, Hole, Numbers};

/// One size.
#[derive(Clone, Debug)]
pub struct Sheet {
    pub id: String,
    pub values: Vec<(String, i64)>,
}

impl Sheet {
    /// `S n=3 end=12`.
    pub fn parse(text: &str) -> Sheet {
        let mut words = text.split_whitespace();
        let id = words.next().unwrap_or("").to_owned();
        let values = words
            .map(|w| {
                let (name, value) = w.split_once('=').expect("name=value");
                (name.to_owned(), value.parse().expect("a whole number"))
            })
            .collect();
        Sheet { id, values }
    }

    fn factor(&self, word: &str, counter: Option<Counter>) -> Result<i64, String> {
        let word = word.trim();
        match (word, counter) {
            ("round", Some(c)) => Ok(i64::from(c.round)),
            ("step", Some(c)) => Ok(i64::from(c.step)),
            _ => word
                .parse()
                .ok()
                .or_else(|| self.values.iter().find(|(n, _)| n == word).map(|(_, v)| *v))
                .ok_or_else(|| format!("no {word}")),
        }
    }

    fn product(&self, text: &str, counter: Option<Counter>) -> Result<i64, String> {
        text.split('*').try_fold(1, |all, word| Ok(all * self.factor(word, counter)?))
    }
}

impl Numbers for Sheet {
    /// Sums and differences of products, from left to right.
    fn value(&self, hole: &Hole, counter: Option<Counter>) -> Result<i64, String> {
        let mut total = 0;
        let mut sign = 1;
        let mut rest = hole.text.as_str();
        loop {
            let end = rest.find(['+', '-']).unwrap_or(rest.len());
            total += sign * self.product(&rest[..end], counter)?;
            if end == rest.len() {
                return Ok(total);
            }
            sign = if rest[end..].starts_with('+') { 1 } else { -1 };
            rest = &rest[end + 1..];
        }
    }
}
