//! Responses of vendors' own commands: tables of those whose forms differ in data alone, and a file for each that needs code.
//!
//! A family is known by its prefix and the form of its fields, never by who made the modem. Each response is read whole
//! by a declared form or nothing is taken of it; a number is noted only where one reading alone is possible.

pub(crate) mod access_point;
pub(crate) mod activation;
mod band;
mod bnd;
mod cbandcfg;
mod ceer;
mod ceng;
mod choice;
mod cifsr;
mod cipstatus;
mod command_set;
mod cpsi;
mod debug;
mod eemltesvc;
mod equipment;
mod getband;
mod gstatus;
mod gtact;
mod gtcainfo;
mod gtccinfo;
mod hcsq;
mod holder;
mod impref;
mod level;
mod lteinfo;
mod moni;
mod monsc;
mod nband;
mod ndisstat;
mod nrinfo;
mod nuestats;
mod path;
mod pcinfo;
mod position;
mod qcainfo;
mod qcfg;
mod qcrsrp;
mod qcsq;
mod qeng;
mod qnwinfo;
mod qnwprefcfg;
mod qrsrp;
mod refusal;
mod rfsts;
mod scfg;
mod selrat;
mod sensor;
mod servinfo;
mod session;
mod smoni;
mod sqnmoni;
mod syscfgex;
#[cfg(test)]
mod tests;
mod ubandmask;
mod ucged;
mod ugpioc;
pub(crate) mod unprefixed;
mod urat;
mod xbandlock;
mod xlec;
mod xmci;
mod xmonitor;
mod xsim;
mod zcainfo;

pub use command_set::{COMMAND_SETS, VendorCommandSet, command_set};

use super::Family;
use super::declaration::vendor as family;
#[cfg(test)]
use super::table::Example;

/// Lists the tables and the families with a file of their own, and in tests the samples of each.
macro_rules! families {
    ([$($table:ident),*] $($command:ident),*) => {
        /// Every family of vendors' responses.
        pub(super) fn families() -> impl Iterator<Item = &'static Family> {
            const TABLES: &[&[&Family]] = &[$($table::FAMILIES,)* &[$(&$command::FAMILY),*]];
            TABLES.iter().copied().flatten().copied()
        }

        /// A sample of each form of every family with a file of its own.
        #[cfg(test)]
        static SAMPLES: &[&[&str]] = &[$($command::SAMPLES),*];

        /// The examples of each table.
        #[cfg(test)]
        static EXAMPLES: &[&[Example]] = &[$($table::EXAMPLES),*];
    };
}

families! {
    [choice, equipment, holder, level, path, position, qcrsrp, refusal, sensor, session]
    band, bnd, cbandcfg, ceer, ceng, cifsr, cipstatus, cpsi, debug,
    eemltesvc, getband, gstatus, gtact, gtcainfo, gtccinfo, hcsq, impref, lteinfo, moni, monsc, nband, ndisstat,
    nrinfo, nuestats, pcinfo, qcainfo, qcfg, qcsq, qeng, qnwinfo,
    qnwprefcfg, qrsrp, rfsts, scfg, selrat, servinfo, smoni, sqnmoni, syscfgex, ubandmask, ucged,
    ugpioc, urat, xbandlock, xlec, xmci, xmonitor, xsim, zcainfo
}
