//! Every named limit of the program, in one place. Passing one is a clear fault
//! (`limit`), never a panic or an endless wait.

/// The largest design, theme or tester card read, in bytes.
pub const FILE_BYTES: u64 = 4 * 1024 * 1024;
/// The longest single piece of written text worked, in bytes.
pub const TEXT_BYTES: usize = 4 * 1024 * 1024;
/// The most words and signs of one line of written text, run on over how many it may be.
pub const LINE_WORDS: usize = 4000;
/// The most stitches one piece may hold in one size.
pub const STITCHES: u64 = 2_000_000;
/// The most rows or rounds one piece may hold in one size.
pub const ROUNDS: u32 = 20_000;
/// The most steps one piece may cost in one size, so that empty repeats end too.
pub const STEPS: u64 = 10_000_000;
/// How deep brackets and repeats may nest in one line.
pub const NESTING: usize = 24;
/// How deep brackets and special stitches may stand in one another as they are worked.
pub const DEPTH: usize = 3 * NESTING;
/// The most colours one piece may be worked in.
pub const COLOURS: usize = 255;
/// The largest number that may be written in an instruction.
pub const NUMBER: u64 = 1_000_000;
/// The most sizes one design may have.
pub const SIZES: usize = 40;
/// The most findings kept from one run; the rest are counted.
pub const FINDINGS: usize = 200;
/// The most pages one booklet may have.
pub const PAGES: usize = 400;
/// The largest picture file read, in bytes.
pub const PICTURE_BYTES: u64 = 64 * 1024 * 1024;
/// The most pixels of one picture.
pub const PICTURE_PIXELS: u64 = 100_000_000;
/// The most entries of one table or list of a design file.
pub const ENTRIES: usize = 1000;
/// The longest formula, in bytes.
pub const FORMULA_BYTES: usize = 4000;
/// How deep a formula may nest.
pub const FORMULA_DEPTH: usize = 64;
/// The most tester cards weighed at once.
pub const CARDS: usize = 500;
