//! `asfound`: the photographic condition record of a piece of vintage furniture.

fn main() -> std::process::ExitCode {
    asfound::cli::run()
}
