//! `rimwright stand`: the pages beside the truing stand.

use crate::data::DataFolder;
use crate::ending;
use stand::Stand;
use std::process::{Command, Stdio};
use workshop::records::{Access, Shop};

/// Serves the pages for the tablet at the truing stand, to this machine alone; the same as no verb at all.
///
/// Prints the address to open, and opens it where there is a desktop. Control-C ends it; what was entered is
/// written down the moment it is acknowledged.
///
/// Example: rimwright stand --data ~/workshop
#[derive(Debug, Default, clap::Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    data: DataFolder,
    /// The port to listen at; left out, the usual one or any that is free.
    #[arg(long, value_name = "N")]
    port: Option<u16>,
    /// Opens no browser.
    #[arg(long)]
    no_open: bool,
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    let place = arguments.data.place()?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let shop = Shop::open(&place, Access::Write).await?;
        let stand = Stand::at(arguments.port).await?;
        let address = stand.address();
        ending::print(&format!("{address}\nEnd with Control-C.\n"))?;
        if !arguments.no_open {
            open(&address);
        }
        stand.serve(shop.clone(), ending::tell, stopped()).await?;
        shop.close().await;
        Ok(())
    })
}

/// When somebody ends the program.
async fn stopped() {
    let interrupted = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut asked_to_end) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupted => {}
                _ = asked_to_end.recv() => {}
            }
            return;
        }
    }
    let _ = interrupted.await;
}

/// Opens the address where there is a desktop. That nothing opens is no trouble: the address is printed.
fn open(address: &str) {
    let is_set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let mut opener = if cfg!(target_os = "macos") {
        Command::new("open")
    } else if cfg!(windows) {
        let mut shell = Command::new("cmd");
        shell.args(["/C", "start", ""]);
        shell
    } else if is_set("DISPLAY") || is_set("WAYLAND_DISPLAY") {
        Command::new("xdg-open")
    } else {
        return;
    };
    let quiet = opener
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null());
    let _ = quiet.stderr(Stdio::null()).spawn();
}
