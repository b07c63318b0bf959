//! Files, as the case and the tasks know them: the machine's own, or in a browser a tree in memory that tells what was
//! changed, so that whoever holds it can keep it. One set of names for both; no other room names the file system.

#[cfg(not(target_family = "wasm"))]
mod machine;
#[cfg(target_family = "wasm")]
mod memory;
#[cfg(any(test, target_family = "wasm"))]
mod tree;

#[cfg(not(target_family = "wasm"))]
pub use machine::{
    Beside, File, Hidden, Stamp, canonicalize, create_dir_all, exists, folder_of_owner, is_folder, metadata, new_file,
    owner_only, read_dir, remove_dir, remove_dir_all, remove_file, rename, rename_new, stamp, symlink_metadata,
    sync_folder, writer,
};
#[cfg(target_family = "wasm")]
pub use memory::{
    Beside, File, Hidden, Stamp, canonicalize, create_dir_all, exists, folder_of_owner, is_folder, metadata, new_file,
    owner_only, put, read_dir, remove_dir, remove_dir_all, remove_file, rename, rename_new, stamp, symlink_metadata,
    sync_folder, taken_changes, writer,
};
