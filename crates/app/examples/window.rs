//! Opens the window on the paths given, or on the start page.

fn main() -> Result<(), app::Error> {
    app::run(app::Start::Paths(std::env::args_os().skip(1).map(Into::into).collect()))
}
