//! Bytes kept under their hash: photos and the pages of reports, as files beside the database.
//!
//! On a server they stand in a table instead, so that every workshop sees them.

use crate::cell::Hash;
use crate::id::Id;
use crate::store::Trouble;
use std::fs::{self, File};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// The folder beside the database.
pub(crate) const FOLDER: &str = "kept";

/// Where the bytes with this hash lie in a data folder.
pub(crate) fn place(data: &Path, hash: Hash) -> PathBuf {
    data.join(FOLDER).join(hash.to_string())
}

/// Keeps bytes; when this returns they are on the disk. `part` names the file while it is written.
pub(crate) fn keep(data: &Path, part: Id, bytes: &[u8]) -> Result<Hash, Trouble> {
    let hash = Hash::of(bytes);
    if kept(data, hash)?.is_some() {
        return Ok(hash);
    }
    let folder = data.join(FOLDER);
    let part = folder.join(format!("{part}.part"));
    let written = fs::create_dir_all(&folder).and_then(|()| {
        let mut file = File::create(&part)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&part, place(data, hash))?;
        File::open(&folder)?.sync_all() // the new name as well
    });
    if written.is_err() {
        let _ = fs::remove_file(&part); // it may not even have been made
    }
    written.map(|()| hash).map_err(trouble)
}

/// The bytes with this hash, when there are such.
pub(crate) fn kept(data: &Path, hash: Hash) -> Result<Option<Vec<u8>>, Trouble> {
    let bytes = match fs::read(place(data, hash)) {
        Ok(bytes) => bytes,
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(trouble(why)),
    };
    match Hash::of(&bytes) == hash {
        true => Ok(Some(bytes)),
        false => Err(Trouble::Damaged {
            said: format!("the file {FOLDER}/{hash} holds other bytes than were kept"),
        }),
    }
}

/// What the system's refusal means for the ledger.
pub(crate) fn trouble(why: std::io::Error) -> Trouble {
    let said = why.to_string();
    match why.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Trouble::Full { said },
        _ => Trouble::Unwritable { said },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::id::{Ids, Moment};

    #[test]
    fn bytes_come_back_and_changed_ones_are_told() {
        let data = tempfile::tempdir().expect("a folder");
        let ids = Ids::new();
        let keep = |bytes: &[u8]| keep(data.path(), ids.next(Moment::from_micros(0)), bytes);
        let hash = keep(b"a rim").expect("kept");
        assert_eq!(keep(b"a rim"), Ok(hash));
        assert_eq!(kept(data.path(), hash), Ok(Some(b"a rim".to_vec())));
        assert_eq!(kept(data.path(), Hash::of(b"another")), Ok(None));
        fs::write(place(data.path(), hash), "a rim?").expect("written");
        assert!(matches!(
            kept(data.path(), hash),
            Err(Trouble::Damaged { .. })
        ));
        let names = fs::read_dir(data.path().join(FOLDER)).expect("the folder");
        assert_eq!(names.count(), 1, "nothing half-written stays");
    }
}
