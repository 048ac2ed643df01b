//! The only place that touches files and the terminal.
#![allow(clippy::disallowed_methods)]

use crate::diag::{self, Finding, SourceId, Sources};
use std::io::{IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

/// Whether terminal colours are used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Colour {
    /// When a person watches, `NO_COLOR` is unset and the terminal is not dumb.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// What a run has read and how it speaks.
#[derive(Debug, Default)]
pub struct Desk {
    /// All texts read so far.
    pub sources: Sources,
    /// Whether terminal colours are used.
    pub colour: Colour,
    /// Whether notes are held back.
    pub quiet: bool,
}

impl Desk {
    /// Reads a text file (or standard input for `-`) as a source.
    ///
    /// # Errors
    /// A finding `read` for a file that is missing, too large, or not UTF-8 text.
    pub fn read_text(&mut self, path: &Path) -> Result<SourceId, Box<Finding>> {
        let name = path.display().to_string();
        let bytes = if name == "-" { read_stdin()? } else { read_bytes(path)? };
        let text = String::from_utf8(bytes).map_err(|e| {
            let at = e.utf8_error().valid_up_to();
            Box::new(
                Finding::fault("read", format!("{name} is not text: byte {at} is not UTF-8"))
                    .help("save the file as plain text in UTF-8"),
            )
        })?;
        let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
        Ok(self.sources.add(name, text))
    }

    /// The text of a source that was read.
    pub fn text(&self, id: SourceId) -> &str {
        self.sources.get(id).map_or("", |s| s.text.as_str())
    }

    /// Prints findings to standard error.
    pub fn report(&self, findings: &[Finding]) {
        let shown: Vec<Finding> = findings
            .iter()
            .filter(|f| !(self.quiet && f.severity == diag::Severity::Note))
            .cloned()
            .collect();
        let drawn = diag::render::text(&shown, &self.sources, self.colour_on());
        let mut err = std::io::stderr().lock();
        let _ = err.write_all(drawn.as_bytes());
    }

    /// Prints a line for the person to standard error, unless `--quiet`.
    pub fn say(&self, line: &str) {
        if !self.quiet {
            let _ = writeln!(std::io::stderr().lock(), "{line}");
        }
    }

    fn colour_on(&self) -> bool {
        match self.colour {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => {
                std::io::stderr().is_terminal()
                    && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
                    && std::env::var_os("TERM").is_none_or(|v| v != "dumb")
            }
        }
    }
}

/// Prints a result to standard output. A closed pipe is not an error.
pub fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    let _ = out.flush();
}

/// Reads a file whole, within [`crate::limits::FILE_BYTES`] for text.
///
/// # Errors
/// A finding `read` or `limit`.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, Box<Finding>> {
    read_bounded(path, crate::limits::FILE_BYTES)
}

/// Reads a file whole if it is no larger than `most` bytes.
///
/// # Errors
/// A finding `read` or `limit`.
pub fn read_bounded(path: &Path, most: u64) -> Result<Vec<u8>, Box<Finding>> {
    let name = path.display();
    let fault = |e: &std::io::Error| {
        Box::new(Finding::fault("read", format!("{name} cannot be read: {}", plain_reason(e))))
    };
    let meta = std::fs::metadata(path).map_err(|e| fault(&e))?;
    if meta.is_dir() {
        return Err(Box::new(Finding::fault("read", format!("{name} is a folder, not a file"))));
    }
    let file = std::fs::File::open(path).map_err(|e| fault(&e))?;
    bounded(file, most, &name.to_string())
}

fn read_stdin() -> Result<Vec<u8>, Box<Finding>> {
    bounded(std::io::stdin().lock(), crate::limits::FILE_BYTES, "standard input")
}

fn bounded(from: impl Read, most: u64, name: &str) -> Result<Vec<u8>, Box<Finding>> {
    let mut bytes = Vec::new();
    from.take(most + 1).read_to_end(&mut bytes).map_err(|e| {
        Box::new(Finding::fault("read", format!("{name} cannot be read: {}", plain_reason(&e))))
    })?;
    if bytes.len() as u64 > most {
        let mb = most / (1024 * 1024);
        return Err(Box::new(
            Finding::fault("limit", format!("{name} is larger than {mb} MB"))
                .help("is this the file you meant?"),
        ));
    }
    Ok(bytes)
}

/// Whether the file at `path` may be replaced: a folder may allow what the file does not, and
/// a file made read-only is one that somebody means to keep.
///
/// # Errors
/// A finding `write` for a file that is read-only, or that this person may not write.
pub fn replaceable(path: &Path) -> Result<(), Box<Finding>> {
    let Ok(meta) = std::fs::metadata(path) else { return Ok(()) };
    let opened = || std::fs::OpenOptions::new().append(true).open(path);
    if meta.is_file() && (meta.permissions().readonly() || opened().is_err()) {
        let what = format!("{} cannot be written: the file is read-only", path.display());
        let help = "nothing was changed; make it writable first if it is to be replaced";
        return Err(Box::new(Finding::fault("write", what).help(help)));
    }
    Ok(())
}

/// Writes a file whole or not at all: a temporary file in the same folder, then a rename.
///
/// # Errors
/// A finding `write`; what stood at `path` is untouched. A file that may not be replaced
/// ([`replaceable`]) is such a one.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Box<Finding>> {
    let fault = |e: &std::io::Error| {
        let what = format!("{} cannot be written: {}", path.display(), plain_reason(e));
        let help = "nothing was changed there; check the folder, its rights and free space";
        Box::new(Finding::fault("write", what).help(help))
    };
    replaceable(path)?;
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(folder).map_err(|e| fault(&e))?;
    let mut temp = tempfile::Builder::new()
        .prefix(".brimwright-")
        .tempfile_in(folder)
        .map_err(|e| fault(&e))?;
    temp.write_all(bytes).map_err(|e| fault(&e))?;
    temp.as_file().sync_all().map_err(|e| fault(&e))?;
    readable(&temp, path).map_err(|e| fault(&e))?;
    temp.persist(path).map_err(|e| fault(&e.error))?;
    Ok(())
}

/// Temporary files are made private; the finished file has the rights of the one it
/// replaces, or the usual ones.
fn readable(temp: &tempfile::NamedTempFile, path: &Path) -> std::io::Result<()> {
    let rights = match std::fs::metadata(path) {
        Ok(meta) => meta.permissions(),
        Err(_) => usual_rights(temp.as_file())?,
    };
    temp.as_file().set_permissions(rights)
}

#[cfg(unix)]
fn usual_rights(_: &std::fs::File) -> std::io::Result<std::fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Ok(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_rights(file: &std::fs::File) -> std::io::Result<std::fs::Permissions> {
    Ok(file.metadata()?.permissions())
}

/// Whether something already stands at `path`.
pub fn exists(path: &Path) -> bool {
    path.exists()
}

/// The files that a pattern such as `cards/*.toml` stands for, by name.
///
/// # Errors
/// A finding `usage` for a pattern that is none, `read` where it finds no file.
pub fn matching(pattern: &str) -> Result<Vec<PathBuf>, Box<Finding>> {
    let found = glob::glob(pattern).map_err(|e| {
        Box::new(Finding::fault("usage", format!("`{pattern}` is no pattern: {}", e.msg)))
    })?;
    let mut files: Vec<PathBuf> = found.flatten().filter(|p| p.is_file()).collect();
    files.sort();
    if files.is_empty() {
        let message = format!("no file is called like `{pattern}`");
        return Err(Box::new(Finding::fault("read", message)));
    }
    Ok(files)
}

/// A path named in a file, taken from that file's folder.
pub fn beside(file: &Path, named: &str) -> PathBuf {
    match file.parent() {
        Some(folder) => folder.join(named),
        None => PathBuf::from(named),
    }
}

/// The reason in plain words, without the system's error number.
fn plain_reason(e: &std::io::Error) -> String {
    use std::io::ErrorKind as K;
    match e.kind() {
        K::NotFound => "there is no such file or folder".into(),
        K::PermissionDenied => "it is not permitted".into(),
        K::StorageFull => "the disk is full".into(),
        K::ReadOnlyFilesystem => "the disk is read-only".into(),
        K::NotADirectory | K::AlreadyExists => "a file stands where a folder is needed".into(),
        _ => {
            let words = e.to_string();
            words.split(" (os error").next().unwrap_or(&words).to_owned()
        }
    }
}
