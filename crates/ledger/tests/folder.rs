//! The story in a folder: SQLite.

mod shop;
mod story;

use ledger::Place;

#[tokio::test]
async fn year_of_a_workshop_in_a_folder() {
    let desk = tempfile::tempdir().expect("a folder");
    let place = Place::Folder(desk.path().join("data"));
    story::tell(&place, desk.path()).await;
}
