//! The program: the window where nothing is asked, else the command line.
fn main() -> std::process::ExitCode {
    if std::env::args_os().len() <= 1 {
        return fanloom::cli::no_window("not built yet");
    }
    fanloom::cli::run(std::env::args_os())
}
