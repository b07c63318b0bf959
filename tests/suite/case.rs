//! The case folder, from outside: crashes, kills, full disks, many writers, merging, damage, old versions.

mod crash;
mod damage;
mod formats;
#[cfg(feature = "hand-over")]
mod hand_over;
mod kill;
pub(crate) mod made;
mod merging;
mod mutated;
mod overview;
#[cfg(feature = "hand-over")]
mod packs;
mod quickly;
