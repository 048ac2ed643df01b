//! How the basic stitches are made, in a sentence each: put together from how often the yarn
//! is laid over the hook, where the hook goes in, and how the loops are taken off. Common
//! practice, from memory; no source.

use super::stitches::{Base, Form, Kind, Post, Terms};

/// How a stitch is made, as a sentence. None for chains of other forms, for textures and for
/// a design's own stitches: those are said by who uses them.
pub fn making(kind: Kind, terms: Terms) -> Option<String> {
    if kind.form != Form::Plain {
        return None;
    }
    match kind.base {
        Base::Ch => return Some("Yarn over and pull through the loop on the hook.".to_owned()),
        Base::SlSt => {
            let words =
                "Insert the hook, yarn over and pull through the stitch and the loop on the hook.";
            return Some(words.to_owned());
        }
        _ => {}
    }
    let overs = overs(kind.base)?;
    if kind.together > 1 {
        return Some(together(kind, terms));
    }
    let start = match overs {
        0 => "",
        1 => "yarn over, ",
        2 => "yarn over twice, ",
        3 => "yarn over three times, ",
        _ => "yarn over four times, ",
    };
    let place = match kind.post {
        Post::No => "",
        Post::Front => " from the front, round the post of the stitch and out to the front again",
        Post::Back => " from the back, round the post of the stitch and out to the back again",
    };
    let end = match kind.base {
        Base::Sc => "yarn over and pull through both loops".to_owned(),
        Base::Hdc => "yarn over and pull through all three loops".to_owned(),
        _ => format!("yarn over and pull through two loops, {}", times(overs + 1)),
    };
    let words = format!("{start}insert the hook{place}, yarn over and pull up a loop; {end}.");
    let first = words.chars().next().map(|c| c.to_ascii_uppercase());
    Some(first.into_iter().chain(words.chars().skip(1)).collect())
}

/// Several drawn together at the top.
fn together(kind: Kind, terms: Terms) -> String {
    let n = kind.together;
    match (kind.base, kind.post) {
        (Base::Sc, Post::No) => format!(
            "Pull up a loop in each of {n} stitches; yarn over and pull through all {} loops.",
            n + 1
        ),
        (Base::Hdc, Post::No) => format!(
            "Yarn over and pull up a loop, in each of {n} stitches; yarn over and pull through \
             all {} loops.",
            2 * u32::from(n) + 1
        ),
        _ => format!(
            "Make {n} {}, one after the other, without the last step of each; yarn over and pull \
             through all the loops on the hook.",
            kind.single().name(terms, &[])
        ),
    }
}

/// How often the yarn is laid over the hook before it goes in.
fn overs(base: Base) -> Option<u8> {
    match base {
        Base::Sc => Some(0),
        Base::Hdc | Base::Dc => Some(1),
        Base::Tr => Some(2),
        Base::Dtr => Some(3),
        Base::Trtr => Some(4),
        _ => None,
    }
}

fn times(n: u8) -> &'static str {
    match n {
        2 => "twice",
        3 => "three times",
        4 => "four times",
        _ => "five times",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A loop is made for every yarn over and one for pulling up, and the stitch begins with
    /// one on the hook: what is taken off must leave one.
    #[test]
    fn every_stitch_ends_with_one_loop_on_the_hook() {
        for base in [Base::Dc, Base::Tr, Base::Dtr, Base::Trtr] {
            let loops = 1 + overs(base).unwrap() + 1;
            let words = making(Kind::plain(base), Terms::Us).unwrap();
            let taken = (2..=5).find(|n| words.contains(&format!("two loops, {}.", times(*n))));
            assert_eq!(loops - taken.unwrap(), 1, "{words}");
        }
        let sc2tog = making(Kind::SC.tog(2), Terms::Us).unwrap();
        assert!(
            sc2tog.contains("each of 2 stitches") && sc2tog.contains("all 3 loops"),
            "{sc2tog}"
        );
        let hdc3tog = making(Kind::plain(Base::Hdc).tog(3), Terms::Us).unwrap();
        assert!(hdc3tog.contains("all 7 loops"), "{hdc3tog}");
    }

    #[test]
    fn posts_say_where_the_hook_goes() {
        let dc = Kind::plain(Base::Dc);
        let front = making(Kind { post: Post::Front, ..dc }, Terms::Us).unwrap();
        assert!(
            front.starts_with("Yarn over, insert the hook from the front, round the post"),
            "{front}"
        );
        let back2 = Kind { post: Post::Back, ..dc.tog(2) };
        assert!(making(back2, Terms::Us).unwrap().contains("Make 2 bpdc"));
        assert!(making(back2, Terms::Uk).unwrap().contains("Make 2 rtrb"));
        assert_eq!(making(Kind::plain(Base::Special(0)), Terms::Us), None);
        assert_eq!(making(Kind::plain(Base::Puff), Terms::Us), None);
    }
}
