//! The case folder, from outside: crashes, kills, full disks, many writers, merging, damage, old versions.

mod crash;
mod damage;
mod kill;
pub(crate) mod made;
mod merging;
