//! The `brimwright` program: arguments in, exit code out. All work is in the library.

fn main() -> std::process::ExitCode {
    brimwright::cli::main()
}
