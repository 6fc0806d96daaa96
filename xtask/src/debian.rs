//! Debian's packages, installed where that can be done without asking anybody.

use std::process::Command;

use anyhow::Result;

use crate::checkout::{answer, has, run};

/// Installs packages; says whether that can be done here at all.
pub(crate) fn install<'a>(packages: impl IntoIterator<Item = &'a str>) -> Result<bool> {
    if !has("apt-get") || !is_superuser() {
        return Ok(false);
    }
    run(Command::new("apt-get").args(["update", "--quiet"]))?;
    run(Command::new("apt-get")
        .args(["install", "--yes", "--quiet", "--no-install-recommends"])
        .args(packages)
        .env("DEBIAN_FRONTEND", "noninteractive"))?;
    Ok(true)
}

/// Whether this program may do everything on the machine.
pub(crate) fn is_superuser() -> bool {
    answer(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0")
}
