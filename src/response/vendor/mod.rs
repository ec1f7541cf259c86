//! Responses of vendors' own commands: one file a command, named by it.
//!
//! A family is known by its header and the form of its fields, never by who made the modem. Each response is read whole
//! by a declared form or nothing is taken of it; a number is noted only where one reading alone is possible.

pub(crate) mod access_point;
pub(crate) mod activation;
mod app_pdp;
mod band;
mod bnd;
mod caopen;
mod cardlock;
mod cardmode;
mod cbandcfg;
mod cdnsgip;
mod ceer;
mod ceernet;
mod ceng;
mod cesq;
mod cgnapn;
mod cgnsinf;
mod cgpsinfo;
mod chiptemp;
mod cifsr;
mod cipopen;
mod cipping;
mod cipstatus;
mod cmnb;
mod cmqttconnect;
mod cmte;
mod cnact;
mod cnbp;
mod cncfg;
mod cnec_emm;
mod cnec_esm;
mod cnmp;
mod cnsmod;
mod cnti;
mod cntp;
mod command_set;
mod cping;
mod cpmutemp;
mod cpsi;
mod cpsmstatus;
mod csdt;
mod cstt;
mod debug;
mod eemltesvc;
mod fwswitch;
mod getband;
mod gstatus;
mod gtact;
mod gtcainfo;
mod gtccinfo;
mod gtdualsim;
mod gtrndis;
mod gtsenrdtemp;
mod hcsq;
mod httpaction;
mod httpring;
mod impref;
mod kbndcfg;
mod kcnx_ind;
mod ksrat;
mod ktcp_ind;
mod lteinfo;
mod mdmev;
mod mode;
mod moni;
mod monsc;
mod nband;
mod ndisstat;
mod netopen;
mod nping;
mod npsmr;
mod nrinfo;
mod nuestats;
mod pcinfo;
mod pctemp;
mod pcvolt;
mod ping;
mod pingcmd;
mod psnt;
mod qcainfo;
mod qcfg;
mod qcrmcall;
mod qcrsrp;
mod qcsq;
mod qemminfo;
mod qeng;
mod qgpsloc;
mod qhttpget;
mod qiact;
mod qicsgp;
mod qind;
mod qinistat;
mod qiopen;
mod qiurc;
mod qmbncfg;
mod qmtopen;
mod qnetdevctl;
mod qnetrc;
mod qnwcfg;
mod qnwinfo;
mod qnwlock;
mod qnwprefcfg;
mod qpinc;
mod qping;
mod qrsrp;
mod qsimdet;
mod qsimstat;
mod qspn;
mod qss;
mod qtemp;
mod quimslot;
mod qusim;
mod rejinfo;
mod rfsts;
mod rsrp;
mod rssi;
#[cfg(test)]
mod samples;
mod sapbr;
mod sbc;
mod scact;
mod scfg;
mod scks;
mod sctm_b;
mod selrat;
mod servinfo;
mod sgact;
mod shreq;
mod sim;
mod simdet;
mod simdet_caret;
mod simselect;
mod simst;
mod smoni;
mod sqnmoni;
mod srvst;
mod sxrat;
mod syscfgex;
mod sysinfo;
mod sysinfoex;
mod tempmeas;
#[cfg(test)]
mod tests;
mod ubandmask;
mod ucged;
mod udnsrn;
mod ugpioc;
mod uims;
mod umnoprof;
pub(crate) mod unprefixed;
mod upsnd;
mod urat;
mod uuhttpcr;
mod uuping;
mod uupinger;
mod uupsda;
mod uupsdd;
mod uusoco;
mod xbandlock;
mod xcband;
mod xcesq;
mod xhttpcrsp;
mod xlec;
mod xmci;
mod xmodemsleep;
mod xmonitor;
mod xping;
mod xsim;
mod xsystemmode;
mod xtemp;
mod xvbat;
mod zcainfo;

pub use command_set::{COMMAND_SETS, VendorCommandSet, command_set};

use super::{Family, Read, Response};
use crate::case::{Facts, Quantity};

/// Every family of vendors' responses.
pub(super) static FAMILIES: &[&Family] = &[
    &app_pdp::FAMILY,
    &band::FAMILY,
    &bnd::FAMILY,
    &caopen::FAMILY,
    &cardmode::FAMILY,
    &cbandcfg::FAMILY,
    &cdnsgip::FAMILY,
    &ceer::FAMILY,
    &ceernet::FAMILY,
    &ceng::FAMILY,
    &cesq::FAMILY,
    &cgnsinf::FAMILY,
    &cgpsinfo::FAMILY,
    &chiptemp::FAMILY,
    &cifsr::FAMILY,
    &cipopen::FAMILY,
    &cipping::FAMILY,
    &cipstatus::FAMILY,
    &cmnb::FAMILY,
    &cmqttconnect::FAMILY,
    &cmte::FAMILY,
    &cnact::FAMILY,
    &cnbp::FAMILY,
    &cnec_emm::FAMILY,
    &cnec_esm::FAMILY,
    &cnmp::FAMILY,
    &cnsmod::FAMILY,
    &cnti::FAMILY,
    &cntp::FAMILY,
    &cping::FAMILY,
    &cpmutemp::FAMILY,
    &cpsi::FAMILY,
    &cpsmstatus::FAMILY,
    &csdt::FAMILY,
    &debug::FAMILY,
    &eemltesvc::FAMILY,
    &fwswitch::FAMILY,
    &getband::FAMILY,
    &gstatus::FAMILY,
    &gtact::FAMILY,
    &gtcainfo::FAMILY,
    &gtccinfo::FAMILY,
    &gtdualsim::FAMILY,
    &gtsenrdtemp::FAMILY,
    &hcsq::FAMILY,
    &httpaction::FAMILY,
    &httpring::FAMILY,
    &impref::FAMILY,
    &kbndcfg::FAMILY,
    &kcnx_ind::FAMILY,
    &ksrat::FAMILY,
    &ktcp_ind::FAMILY,
    &lteinfo::FAMILY,
    &mdmev::FAMILY,
    &mode::FAMILY,
    &moni::FAMILY,
    &monsc::FAMILY,
    &nband::FAMILY,
    &ndisstat::FAMILY,
    &netopen::FAMILY,
    &nping::FAMILY,
    &npsmr::FAMILY,
    &nrinfo::FAMILY,
    &nuestats::FAMILY,
    &pcinfo::FAMILY,
    &pctemp::FAMILY,
    &pcvolt::FAMILY,
    &ping::FAMILY,
    &pingcmd::FAMILY,
    &psnt::FAMILY,
    &qcainfo::FAMILY,
    &qcfg::FAMILY,
    &qcrmcall::FAMILY,
    &qcrsrp::FAMILY,
    &qcsq::FAMILY,
    &qemminfo::FAMILY,
    &qeng::FAMILY,
    &qgpsloc::FAMILY,
    &qhttpget::FAMILY,
    &qiact::FAMILY,
    &qind::FAMILY,
    &qinistat::FAMILY,
    &qiopen::FAMILY,
    &qiurc::FAMILY,
    &qmbncfg::FAMILY,
    &qmtopen::FAMILY,
    &qnetdevctl::FAMILY,
    &qnetrc::FAMILY,
    &qnwcfg::FAMILY,
    &qnwinfo::FAMILY,
    &qnwlock::FAMILY,
    &qnwprefcfg::FAMILY,
    &qpinc::FAMILY,
    &qping::FAMILY,
    &qrsrp::FAMILY,
    &qsimdet::FAMILY,
    &qsimstat::FAMILY,
    &qspn::FAMILY,
    &qss::FAMILY,
    &qtemp::FAMILY,
    &quimslot::FAMILY,
    &qusim::FAMILY,
    &rejinfo::FAMILY,
    &rfsts::FAMILY,
    &rsrp::FAMILY,
    &rssi::FAMILY,
    &sapbr::FAMILY,
    &sbc::FAMILY,
    &scact::FAMILY,
    &scfg::FAMILY,
    &scks::FAMILY,
    &sctm_b::FAMILY,
    &selrat::FAMILY,
    &servinfo::FAMILY,
    &sgact::FAMILY,
    &shreq::FAMILY,
    &sim::FAMILY,
    &simdet::FAMILY,
    &simdet_caret::FAMILY,
    &simselect::FAMILY,
    &simst::FAMILY,
    &smoni::FAMILY,
    &sqnmoni::FAMILY,
    &srvst::FAMILY,
    &sxrat::FAMILY,
    &syscfgex::FAMILY,
    &sysinfo::FAMILY,
    &sysinfoex::FAMILY,
    &tempmeas::FAMILY,
    &ubandmask::FAMILY,
    &ucged::FAMILY,
    &udnsrn::FAMILY,
    &ugpioc::FAMILY,
    &uims::FAMILY,
    &umnoprof::FAMILY,
    &upsnd::FAMILY,
    &urat::FAMILY,
    &uuhttpcr::FAMILY,
    &uuping::FAMILY,
    &uupinger::FAMILY,
    &uupsda::FAMILY,
    &uupsdd::FAMILY,
    &uusoco::FAMILY,
    &xbandlock::FAMILY,
    &xcband::FAMILY,
    &xcesq::FAMILY,
    &xhttpcrsp::FAMILY,
    &xlec::FAMILY,
    &xmci::FAMILY,
    &xmodemsleep::FAMILY,
    &xmonitor::FAMILY,
    &xping::FAMILY,
    &xsim::FAMILY,
    &xsystemmode::FAMILY,
    &xtemp::FAMILY,
    &xvbat::FAMILY,
    &zcainfo::FAMILY,
    &qicsgp::FAMILY,
    &cncfg::FAMILY,
    &cstt::FAMILY,
    &cgnapn::FAMILY,
    &gtrndis::FAMILY,
    &cardlock::FAMILY,
];

/// The responses of a vendor's command.
const fn family(
    heads: &'static [&'static str],
    request: &'static str,
    about: &'static str,
    yields: &'static [Quantity],
    read: fn(&Response<'_>, &mut Facts) -> Read,
) -> Family {
    Family { heads, request, source: "vendor's command", about, yields, read }
}
