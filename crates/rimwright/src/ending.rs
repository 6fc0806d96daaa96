//! How the program ends: 0 done, 1 internal error, 2 wrong usage, 3 bad input.

use std::process::ExitCode;
use workshop::{analyse, build, calibrate, records, take_in, true_up};

/// What was asked for is not to be done, though its words were right.
#[derive(Debug)]
pub(crate) struct WrongUse(pub(crate) String);

impl std::fmt::Display for WrongUse {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WrongUse {}

/// What was looked through is not well; what it is was printed.
#[derive(Debug)]
pub(crate) struct Unwell;

impl std::fmt::Display for Unwell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("something is wrong with the records: see what is marked !")
    }
}

impl std::error::Error for Unwell {}

/// What whoever runs the program should know and no page nor output says.
pub(crate) fn tell(words: &str) {
    #[expect(
        clippy::disallowed_macros,
        reason = "the binary is where a person is told"
    )]
    {
        eprintln!("{words}");
    }
}

/// The exit code of what was done, its error printed with all that led to it.
pub(crate) fn code(done: anyhow::Result<()>) -> ExitCode {
    let Err(error) = done else {
        return ExitCode::SUCCESS;
    };
    if is_closed_pipe(&error) {
        return ExitCode::SUCCESS;
    }
    tell(&format!("{error:#}"));
    let is_input = error.chain().any(|cause| {
        cause.is::<take_in::Error>()
            || cause.is::<calibrate::Error>()
            || cause.is::<analyse::Error>()
            || cause.is::<true_up::NoPlan>()
            || cause.is::<Unwell>()
            || cause
                .downcast_ref::<records::Error>()
                .is_some_and(|error| !error.is_fault())
            || cause.is::<build::Unmeasured>()
            || cause.is::<build::NoFit>()
    });
    ExitCode::from(if error.is::<WrongUse>() {
        2
    } else if is_input {
        3
    } else {
        1
    })
}

/// Whoever reads the output has seen enough.
fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause
            .downcast_ref::<std::io::Error>()
            .is_some_and(|error| error.kind() == std::io::ErrorKind::BrokenPipe)
    })
}

/// Prints a text, or the error of not being able to.
pub(crate) fn print(text: &str) -> anyhow::Result<()> {
    use std::io::Write;
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(())
}

/// Writes a file beside its place and renames it there, so that nobody ever sees half of one.
pub(crate) fn write(path: &std::path::Path, text: &str) -> anyhow::Result<()> {
    use anyhow::Context;
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    std::fs::write(&beside, text)
        .and_then(|()| std::fs::rename(&beside, path))
        .with_context(|| format!("{} cannot be written", path.display()))
}

/// Puts a page where it is wanted; true where that is the terminal, which then shows nothing else.
pub(crate) fn hand_over(
    output: Option<&std::path::Path>,
    page: impl FnOnce() -> anyhow::Result<String>,
) -> anyhow::Result<bool> {
    match output {
        None => Ok(false),
        Some(path) if path.as_os_str() == "-" => print(&page()?).map(|()| true),
        Some(path) => write(path, &page()?).map(|()| false),
    }
}

/// As [`write()`], by whoever writes into the file; when that fails nothing has changed.
pub(crate) async fn write_through<T>(
    path: &std::path::Path,
    through: impl AsyncFnOnce(&mut std::io::BufWriter<std::fs::File>) -> anyhow::Result<T>,
) -> anyhow::Result<T> {
    use anyhow::Context;
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let cannot = || format!("{} cannot be written", path.display());
    let mut file = std::io::BufWriter::new(std::fs::File::create(&beside).with_context(cannot)?);
    let written = match through(&mut file).await {
        Ok(written) => file
            .into_inner()
            .map_err(std::io::IntoInnerError::into_error)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&beside, path))
            .with_context(cannot)
            .map(|()| written),
        Err(error) => Err(error),
    };
    if written.is_err() {
        let _ = std::fs::remove_file(&beside); // what was written of it is of no use
    }
    written
}
