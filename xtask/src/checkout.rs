//! Where the project lies on this machine, and how a command is run in it.

use std::ffi::OsString;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, ensure};
use serde_json::Value;

/// The project's folder and what cargo knows of it.
#[derive(Debug)]
pub(crate) struct Checkout {
    root: PathBuf,
    target: PathBuf,
    metadata: Value,
}

impl Checkout {
    /// The checkout that this program was built from.
    pub(crate) fn here() -> Result<Self> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"))
            .parent()
            .context("xtask lies in the project's folder")?
            .to_path_buf();
        let mut ask = Command::new(cargo());
        ask.args(["metadata", "--format-version", "1", "--no-deps"])
            .current_dir(&root);
        let metadata: Value = serde_json::from_str(&answer(&mut ask)?)
            .context("`cargo metadata` gave something other than JSON")?;
        let target = metadata["target_directory"]
            .as_str()
            .context("`cargo metadata` names no target folder")?
            .into();
        Ok(Self {
            root,
            target,
            metadata,
        })
    }

    /// The project's folder.
    pub(crate) fn root(&self) -> &Path {
        &self.root
    }

    /// A folder below cargo's target folder.
    pub(crate) fn target(&self, below: &str) -> PathBuf {
        self.target.join(below)
    }

    /// What `cargo metadata` says of the workspace.
    pub(crate) fn metadata(&self) -> &Value {
        &self.metadata
    }

    /// A cargo command in the project's folder, its words separated by blanks.
    pub(crate) fn cargo(&self, words: &str) -> Command {
        let mut command = Command::new(cargo());
        command
            .args(words.split_whitespace())
            .current_dir(&self.root);
        command
    }

    /// Any other command in the project's folder.
    pub(crate) fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.current_dir(&self.root);
        command
    }
}

/// The cargo that started this program.
fn cargo() -> OsString {
    std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into())
}

/// Shows a command, runs it with its output on the screen, and fails when it fails.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    println!("$ {}", shown(command));
    let status = command
        .stdin(Stdio::null())
        .status()
        .with_context(|| format!("`{}` could not be started", shown(command)))?;
    ensure!(status.success(), "`{}` ended with {status}", shown(command));
    Ok(())
}

/// Like [`run`], with the output in a file instead.
pub(crate) fn run_logged(command: &mut Command, log: &Path) -> Result<()> {
    let file = File::create(log).with_context(|| format!("{} cannot be written", log.display()))?;
    run(command.stdout(file.try_clone()?).stderr(file))
}

/// Runs every command, the later ones also when an earlier one failed, and fails with the first that did.
pub(crate) fn run_all(commands: impl IntoIterator<Item = Command>) -> Result<()> {
    let mut all = Ok(());
    for mut command in commands {
        all = all.and(run(&mut command)); // `and` keeps the first failure, its argument has run
    }
    all
}

/// What a command writes to its standard output; its errors go to the screen.
pub(crate) fn answer(command: &mut Command) -> Result<String> {
    let output = command
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .with_context(|| format!("`{}` could not be started", shown(command)))?;
    ensure!(
        output.status.success(),
        "`{}` ended with {}",
        shown(command),
        output.status
    );
    String::from_utf8(output.stdout)
        .with_context(|| format!("`{}` wrote something other than UTF-8", shown(command)))
}

/// Whether a program is on this machine's search path.
pub(crate) fn has(program: &str) -> bool {
    let folders = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&folders).any(|folder| folder.join(program).is_file())
}

/// A command as a person would type it.
fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let mut words = vec![program.file_stem().unwrap_or_default().to_string_lossy()];
    words.extend(command.get_args().map(|word| word.to_string_lossy()));
    words.join(" ")
}
