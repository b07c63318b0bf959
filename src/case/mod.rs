//! The case folder: immutable records, one TOML file each, named DATE-KIND-HASH.toml. Reading is a listing,
//! writing is adding, merging is union; nothing is ever rewritten. The only room with the file system in it.

mod alias;
mod disk;
mod fault;
mod history;
mod listing;
mod name;
mod store;

pub use alias::{AliasFault, check_alias, check_birth_month};
pub use disk::{Disk, RealDisk, TEMPORARY, make_folder, write_new, write_whole};
pub use fault::CaseFault;
pub use history::{CORRECTION, History};
pub use name::{PHOTO, RecordName, id_of, name_of};
pub use store::{Case, Found, Stored};
