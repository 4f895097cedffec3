//! Folders made for a run alone, and cleared away behind it.

use std::fs::{self, DirBuilder};
use std::io::{self, ErrorKind};
use std::path::Path;

/// A folder that only its owner may look into.
pub(in crate::print) fn private_folder() -> DirBuilder {
    let mut builder = DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder
}

/// Clears a desk away; a set that is ready stays for the next run. `made` is the folder around it
/// if this run made it: it goes too, unless something is in it.
pub(in crate::print) fn sweep(desk: &Path, made: Option<&Path>) -> io::Result<()> {
    if exists(&desk.join("ready")) {
        return Ok(());
    }
    match fs::remove_dir_all(desk) {
        Err(why) if why.kind() != ErrorKind::NotFound => return Err(why),
        _ => {}
    }
    if let Some(made) = made {
        let _ = fs::remove_dir(made);
    }
    Ok(())
}

/// Whether there is anything at a path, a link without target included.
pub(in crate::print) fn exists(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}
