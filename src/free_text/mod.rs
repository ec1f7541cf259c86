//! What people, hosts and kernels write in plain words, read as facts.

mod bands;
mod card;
mod causes;
mod host;
mod keywords;
mod levels;
mod mention;
mod restarts;
mod sentences;
mod silence;
mod status;

pub(crate) use host::is_silence;
pub(crate) use mention::is_hypothetical;
pub(crate) use sentences::Sentences;
