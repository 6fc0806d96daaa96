//! `rimwright import`: files into the records.

use crate::data::{self, DataFolder};
use crate::ending::{self, WrongUse};
use crate::progress::Progress;
use crate::table::item;
use std::io::Read;
use std::path::{Path, PathBuf};
use workshop::records::{
    Access, CalibrationAsked, Conflict, Conflicts, Error, Handed, Pen, Shop, WheelAsked, WhichWheel,
};
use workshop::take_in::{Kind, kind_of};
use workshop::view::{ConflictView, ImportView, ImportedFileView, json};

/// Takes files into the workshop's records: wheels, gauges, rig points, visits, and exports of ours.
///
/// What a file is shows by itself. A visit brings its wheel, gauges and rig points with it; what reads like
/// something in the records is asked about. What is refused is not written: a wheel, a gauge, points and a visit
/// go in whole or not at all. An export is looked through first, and one that contradicts the records is refused
/// with every contradiction listed; where the disk fills up meanwhile, what went in of it stays and the rest goes in
/// when it is imported again. Files before one that is refused are in.
///
/// Example: rimwright import visit.toml
#[derive(Debug, clap::Args)]
pub(crate) struct Arguments {
    /// The files, taken in one after the other; `-` is an export from standard input.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// What the files are, where it does not show.
    #[arg(long = "as", value_name = "KIND")]
    kind: Option<KindName>,
    /// Who enters a wheel, a gauge or points; a visit says it itself. Else RIMWRIGHT_BY.
    #[arg(long, value_name = "INITIALS")]
    by: Option<String>,
    /// Whose a wheel is.
    #[arg(long, help_heading = "Wheels")]
    owner: Option<String>,
    /// How the owner is reached.
    #[arg(long, help_heading = "Wheels")]
    contact: Option<String>,
    /// The wheel in the records that a visit is of.
    #[arg(
        long,
        value_name = "LABEL",
        help_heading = "Visits",
        conflicts_with = "new_wheel"
    )]
    wheel: Option<String>,
    /// A visit is of a wheel that was not here before, though one reads alike.
    #[arg(long, help_heading = "Visits")]
    new_wheel: bool,
    /// The gauge that points were taken with.
    #[arg(long, value_name = "LABEL", help_heading = "Rig points")]
    gauge: Option<String>,
    /// The spoke kind on the rig.
    #[arg(long, value_name = "KIND", help_heading = "Rig points")]
    spoke: Option<String>,
    /// The spoke's batch.
    #[arg(long, help_heading = "Rig points")]
    batch: Option<String>,
    /// When the points were taken, as 2026-03-04T10:20:00+01:00; now when left out.
    #[arg(long, value_name = "TIME", help_heading = "Rig points")]
    taken: Option<String>,
    /// Temperature, degrees Celsius.
    #[arg(
        long,
        value_name = "C",
        allow_negative_numbers = true,
        help_heading = "Rig points"
    )]
    temperature_c: Option<f64>,
    /// A gauge's file takes the place of the one with its label, for this reason.
    #[arg(long, value_name = "REASON", help_heading = "Corrections")]
    why: Option<String>,
    /// Takes in what of an export contradicts nothing.
    #[arg(long, help_heading = "Exports")]
    leave_conflicts: bool,
    #[command(flatten)]
    records: DataFolder,
    /// One JSON object instead of text.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum KindName {
    /// A wheel file.
    Wheel,
    /// A gauge file.
    Gauge,
    /// Rig points.
    Points,
    /// A visit file.
    Visit,
    /// An export.
    Export,
}

impl From<KindName> for Kind {
    fn from(name: KindName) -> Self {
        match name {
            KindName::Wheel => Self::Wheel,
            KindName::Gauge => Self::Gauge,
            KindName::Points => Self::Points,
            KindName::Visit => Self::Visit,
            KindName::Export => Self::Export,
        }
    }
}

pub(crate) fn run(arguments: &Arguments) -> anyhow::Result<()> {
    data::run(async {
        let shop = arguments.records.open(Access::Write).await?;
        let (view, ended) = files(arguments, &shop).await;
        shop.close().await;
        // What went in before a file that is wrong is told as well: a wheel has got its label.
        if ended.is_ok() || !view.files.is_empty() {
            ending::print(&if arguments.json {
                json(&view)?
            } else {
                text(&view)
            })?;
        }
        ended
    })
}

/// Takes the files in up to the first that is wrong.
async fn files(arguments: &Arguments, shop: &Shop) -> (ImportView, anyhow::Result<()>) {
    let mut view = ImportView {
        schema: "rimwright.import/1",
        files: Vec::new(),
    };
    for file in &arguments.files {
        match taken_in(arguments, shop, file).await {
            Ok(done) => view.files.push(done),
            Err(why) => {
                // Text lists what contradicts the records as the reason, JSON as data too.
                let refused = why
                    .downcast_ref::<Error>()
                    .map_or(&[][..], Error::conflicts);
                if arguments.json && !refused.is_empty() {
                    let conflicts = refused.iter().map(conflict).collect();
                    let export = file_view(file, Kind::Export);
                    view.files.push(ImportedFileView {
                        conflicts,
                        ..export
                    });
                }
                return (view, Err(why));
            }
        }
    }
    (view, Ok(()))
}

async fn taken_in(
    arguments: &Arguments,
    shop: &Shop,
    file: &Path,
) -> anyhow::Result<ImportedFileView> {
    let kind = match arguments.kind {
        Some(kind) => kind.into(),
        None if file.as_os_str() == "-" => Kind::Export,
        None => kind_of(file)?,
    };
    let mut view = ImportedFileView {
        written: 1,
        ..file_view(file, kind)
    };
    match kind {
        Kind::Export => export(arguments, shop, file, &mut view).await?,
        Kind::Wheel => {
            let asked = WheelAsked {
                owner: arguments.owner.clone(),
                contact: arguments.contact.clone(),
                ..WheelAsked::default()
            };
            let (label, written) = shop.import_wheel(&pen(arguments)?, file, asked).await?;
            view.wheel = Some(label.to_string());
            view.id = Some(written.id.to_string());
            view.findings = written.findings;
        }
        Kind::Gauge => {
            let why = arguments.why.as_deref();
            let written = shop.import_gauge(&pen(arguments)?, file, why).await?;
            view.id = Some(written.id.to_string());
            view.findings = written.findings;
        }
        Kind::Points => {
            let (Some(gauge), Some(spoke_kind)) = (&arguments.gauge, arguments.spoke.clone())
            else {
                return Err(WrongUse(format!(
                    "{}: rig points belong to a gauge and a spoke kind\n  Say `--gauge LABEL --spoke KIND`.",
                    file.display()
                ))
                .into());
            };
            let asked = CalibrationAsked {
                spoke_kind,
                batch: arguments.batch.clone(),
                taken: arguments.taken.clone(),
                operator: None,
                temperature_c: arguments.temperature_c,
                rig: None,
                note: None,
            };
            let gauge = shop.gauge_called(gauge).await?;
            let written = shop
                .import_points(&pen(arguments)?, file, gauge, asked)
                .await?;
            view.id = Some(written.id.to_string());
            view.findings = written.findings;
        }
        Kind::Visit => {
            let which = match (&arguments.wheel, arguments.new_wheel) {
                (Some(label), _) => WhichWheel::This(shop.wheel_called(label).await?),
                (None, true) => WhichWheel::New,
                (None, false) => WhichWheel::Unsaid,
            };
            // The visit says itself who took it.
            let taken_in = shop.import_visit(&Pen::of("-"), file, which).await?;
            let life = shop.life(taken_in.wheel).await?;
            view.written = taken_in.written as u64;
            view.wheel = Some(life.label);
            view.id = Some(taken_in.visit.to_string());
            view.findings = taken_in.findings;
        }
    }
    Ok(view)
}

async fn export(
    arguments: &Arguments,
    shop: &Shop,
    file: &Path,
    view: &mut ImportedFileView,
) -> anyhow::Result<()> {
    let handed = if file.as_os_str() == "-" {
        let mut text = Vec::new();
        std::io::stdin().lock().read_to_end(&mut text)?;
        Handed::Text(text)
    } else {
        Handed::File(file.into())
    };
    let conflicts = match arguments.leave_conflicts {
        true => Conflicts::Leave,
        false => Conflicts::Refuse,
    };
    let mut progress = Progress::of("entries");
    let done = shop
        .import(&handed, conflicts, |done| progress.heard(done))
        .await?;
    view.written = done.written;
    view.known = done.known;
    view.conflicts = done.conflicts.iter().map(conflict).collect();
    Ok(())
}

fn conflict(one: &Conflict) -> ConflictView {
    ConflictView {
        line: one.line,
        id: one.id.to_string(),
        kind: one.kind,
        says: one.says.clone(),
    }
}

/// A file of which nothing was written yet.
fn file_view(file: &Path, kind: Kind) -> ImportedFileView {
    ImportedFileView {
        file: file.display().to_string(),
        kind: kind.word(),
        written: 0,
        known: 0,
        wheel: None,
        id: None,
        conflicts: Vec::new(),
        findings: Vec::new(),
    }
}

fn pen(arguments: &Arguments) -> anyhow::Result<Pen> {
    data::pen(arguments.by.as_deref())
}

fn text(view: &ImportView) -> String {
    let mut text = String::new();
    for file in &view.files {
        text += &format!(
            "{}: {}, {} entries written",
            file.file, file.kind, file.written
        );
        if file.known > 0 {
            text += &format!(", {} were there already", file.known);
        }
        text += "\n";
        if let Some(label) = &file.wheel {
            text += &item(
                "·",
                &format!("The wheel's label is {label}: write it on the wheel."),
            );
        }
        for finding in &file.findings {
            text += &item("?", finding);
        }
        for conflict in &file.conflicts {
            let says = format!(
                "line {}, {}: {}",
                conflict.line, conflict.kind, conflict.says
            );
            text += &item("!", &says);
        }
        if !file.conflicts.is_empty() {
            text += &item(
                "!",
                "These were left out; nothing in the records was changed by them.",
            );
        }
    }
    text
}
