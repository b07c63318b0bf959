//! The case folder: immutable records, one TOML file each, named DATE-KIND-HASH.toml. Reading is a listing,
//! writing is adding, merging is union; nothing is ever rewritten.

mod alias;
mod archive;
mod check;
mod disk;
mod erase;
mod fault;
mod history;
mod listing;
mod memory;
mod mentions;
mod merge;
mod name;
mod pack;
mod pack_fault;
#[cfg(feature = "hand-over")]
mod scrypt;
mod seal;
mod sense;
mod shelf;
mod store;
mod task;

pub use alias::{AliasFault, check_alias, check_birth_month, doubt_alias};
pub use archive::LIST;
pub use check::{Checked, Finding, Mended, aside_of, check, mend};
pub use disk::{Disk, RealDisk, TEMPORARY, make_folder, write_new, write_whole};
pub use erase::{Erased, erase};
pub use fault::CaseFault;
pub use history::{CORRECTION, History};
pub use memory::remember;
pub use merge::{Merged, merge};
pub use name::{PHOTO, RecordName, id_of, name_of};
pub use pack::{Opened, Plan, can_pack, pack, pack_plain, packed_plain, plan, unpack, unpack_plain};
pub use pack_fault::PackFault;
pub use seal::{WORK, is_sealed};
pub use sense::{clock, impossible, is_id};
pub use shelf::{files_in, folders_in};
pub use store::{Case, Found, Kinds, Stored, secret_of};
pub use task::{TaskFault, check_correct};
