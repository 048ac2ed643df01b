//! The deepest that may be written and worked, in a stack smaller than any thread's.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use brimwright::design;
use brimwright::diag::SourceId;
use brimwright::fabric::{WorkOptions, work};
use brimwright::limits;
use brimwright::proof;
use brimwright::proof::text::{TextOptions, prove};
use brimwright::written::say::{Length, Style};
use brimwright::written::{NoHoles, ReadOptions, Terms, read, say};

/// Threads have 2 MiB, a program's first one 8 MiB; this is less than any.
const STACK: usize = 1024 * 1024;

fn small_stack(f: impl FnOnce() + Send + 'static) {
    std::thread::Builder::new().stack_size(STACK).spawn(f).unwrap().join().unwrap();
}

/// The codes of the faults found in a text, read, worked and said again.
fn codes(text: &str) -> Vec<String> {
    let reading = read(text, &ReadOptions::default());
    work(&reading.piece, "", &NoHoles, &WorkOptions::default());
    for terms in [Terms::Us, Terms::Uk] {
        let style = Style { terms, length: Length::SpelledOut, ..Style::default() };
        say(&reading.piece, &style, &[]);
    }
    prove(text, &TextOptions::default()).faults.into_iter().map(|f| f.code).collect()
}

fn nested(deep: usize) -> String {
    format!(
        "Ch 12; join.\nRnd 1: Ch 1, {}sc in next st{}. Do not join. (1 sc)",
        "[".repeat(deep),
        "] once".repeat(deep)
    )
}

#[test]
fn brackets_as_deep_as_they_may_be() {
    small_stack(|| {
        // The limit is the last that is read; one more is refused, and so are a thousand.
        let deep = codes(&nested(limits::NESTING));
        assert!(!deep.iter().any(|c| c == "limit"), "{deep:?}");
        for deep in [limits::NESTING + 1, 1000] {
            assert!(codes(&nested(deep)).iter().any(|c| c == "limit"), "{deep}");
        }
    });
}

#[test]
fn repeats_of_repeats_are_refused() {
    small_stack(|| {
        for words in [", repeat once more", ", rep from beg once more", ", rep from beg around"] {
            let text = format!(
                "Rnd 1: 6 sc in magic ring.\nRnd 2: Sc in next st{}.",
                words.repeat(30_000)
            );
            assert!(codes(&text).iter().any(|c| c == "limit"), "{words}");
        }
    });
}

/// Every special stitch holds the one before it, in brackets.
#[test]
fn special_stitches_in_special_stitches() {
    small_stack(|| {
        let mut text =
            String::from("Special stitches:\nAst (ast): (dc, ch 1, dc) in st indicated.\n");
        for n in 1..60_u8 {
            let (letter, before) = (char::from(b'a' + n % 26), char::from(b'a' + (n - 1) % 26));
            let (tail, tail_before) =
                ("x".repeat(usize::from(n / 26)), "x".repeat(usize::from((n - 1) / 26)));
            let (name, inner) = (format!("{letter}{tail}st"), format!("{before}{tail_before}st"));
            text += &format!(
                "{name} ({name}): {}{inner}, ch 1, {inner}{} in st indicated.\n",
                "[".repeat(20),
                "] once".repeat(20)
            );
        }
        codes(&(text + "Rnd 1: 6 sc in magic ring.\nRnd 2: Hxxst in next st."));
    });
}

/// Any word of the trade, written over and over, is read or refused; none is read in itself
/// for ever.
#[test]
fn a_word_without_end() {
    small_stack(|| {
        let words = "sc 3 in next each st sts around across * ** † ; , . ( [ { <  ) rep repeat from work make \
                     working the of and then first last same 2nd hook ch ch-2 sp skip turn join with ring magic times more \
                     twice until remain to end row rnd Rnd Rows: blo even every other for as sides place a one inc dec tog \
                     2tog cluster picot fan shell corner center between along side opposite edge leave unworked fasten off \
                     counts does not note size sizes only all – - : = \" '";
        let long = format!("Rnd 1: {}", "sc in next st, ".repeat(limits::LINE_WORDS));
        assert!(codes(&long).iter().any(|c| c == "limit"));
        for word in words.split_whitespace() {
            for start in ["", "Rnd 1: ", "Rnd 1: sc in next st, ", "Special stitch: Ast: "] {
                codes(&format!("{start}{}", format!("{word} ").repeat(500)));
            }
        }
    });
}

#[test]
fn formulas_as_deep_as_they_may_be() {
    const PLAIN: &str = include_str!("designs/harbour-step.toml");
    small_stack(|| {
        let deep = |n: usize| format!("{}1{}", "(".repeat(n), ")".repeat(n));
        let sum = |n: usize| format!("{}1", "-".repeat(n));
        let mut chain = String::from("\nq0 = \"1\"\n");
        for n in 1..300 {
            chain += &format!("q{n} = \"((((q{}))))\"\n", n - 1);
        }
        for more in [
            format!("\nq = \"{}\"\n", deep(60)),
            format!("\nq = \"{}\"\n", deep(900)),
            format!("\nq = \"{}\"\n", sum(900)),
            chain,
        ] {
            let text = PLAIN.replacen("[counts]\n", &format!("[counts]{more}"), 1);
            assert!(text.len() > PLAIN.len());
            let (design, _) = design::read(SourceId(0), &text);
            if let Some(design) = design {
                proof::prove(design);
            }
        }
        let (design, findings) = design::read(SourceId(0), &format!("a = {}", "[".repeat(100_000)));
        assert!(design.is_none() && !findings.is_empty());
        let (design, findings) =
            design::read(SourceId(0), &format!("a{} = 1", ".a".repeat(100_000)));
        assert!(design.is_none() && !findings.is_empty());
    });
}
