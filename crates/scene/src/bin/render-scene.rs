//! `render-scene SEED OUT.jpg`: writes the photo of a random scene and prints its truth as JSON.

use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [seed, out] = arguments.as_slice() else {
        return fail("usage: render-scene SEED OUT.jpg");
    };
    let Ok(seed) = seed.parse::<u64>() else {
        return fail(&format!("{seed} is no seed: a whole number was expected"));
    };
    match run(seed, out) {
        Ok(()) => ExitCode::SUCCESS,
        Err(err) => fail(&err.to_string()),
    }
}

fn run(seed: u64, out: &str) -> Result<(), Box<dyn std::error::Error>> {
    let scene = scene::draw(seed)?;
    let rendered = scene::render(&scene)?;
    std::fs::write(out, scene::jpeg(&rendered, &scene.file)?).map_err(|err| format!("{out}: {err}"))?;
    writeln!(std::io::stdout().lock(), "{}", rendered.truth.to_json()?)?;
    Ok(())
}

fn fail(why: &str) -> ExitCode {
    let _ = writeln!(std::io::stderr().lock(), "{why}");
    ExitCode::from(2)
}
