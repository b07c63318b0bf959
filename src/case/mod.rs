//! The case folder: immutable records, one TOML file each, named DATE-KIND-HASH.toml. Reading is a listing,
//! writing is adding, merging is union; nothing is ever rewritten. The only room with the file system in it.

mod alias;
mod name;
mod store;

pub use alias::{AliasFault, check_alias, check_birth_month};
pub use name::{RecordName, name_of};
pub use store::{Case, CaseFault, Found, Stored, write_whole};
