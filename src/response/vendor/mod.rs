//! Responses of vendors' own commands: one file a command, named by it.
//!
//! A family is known by its prefix and the form of its fields, never by who made the modem. Each response is read whole
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
mod cmqttpub;
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
mod mipcall;
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
mod qidnsgip;
mod qigeterror;
mod qind;
mod qinistat;
mod qiopen;
mod qiurc;
mod qmbncfg;
mod qmtopen;
mod qmtpub;
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
mod rfswitch;
mod rsrp;
mod rssi;
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

use super::Family;
use super::declaration::vendor as family;

/// Lists every family, and in tests the samples of each.
macro_rules! families {
    ($($command:ident),*) => {
        /// Every family of vendors' responses.
        pub(super) static FAMILIES: &[&Family] = &[$(&$command::FAMILY),*];

        /// A sample of each form of every family.
        #[cfg(test)]
        static SAMPLES: &[&[&str]] = &[$($command::SAMPLES),*];
    };
}

families! {
    app_pdp, band, bnd, caopen, cardlock, cardmode, cbandcfg, cdnsgip, ceer, ceernet, ceng, cesq, cgnapn,
    cgnsinf, cgpsinfo, chiptemp, cifsr, cipopen, cipping, cipstatus, cmnb, cmqttconnect, cmqttpub, cmte, cnact,
    cnbp, cncfg, cnec_emm, cnec_esm, cnmp, cnsmod, cnti, cntp, cping, cpmutemp, cpsi, cpsmstatus, csdt, cstt,
    debug, eemltesvc, fwswitch, getband, gstatus, gtact, gtcainfo, gtccinfo, gtdualsim, gtrndis, gtsenrdtemp,
    hcsq, httpaction, httpring, impref, kbndcfg, kcnx_ind, ksrat, ktcp_ind, lteinfo, mdmev, mipcall, mode, moni,
    monsc, nband, ndisstat, netopen, nping, npsmr, nrinfo, nuestats, pcinfo, pctemp, pcvolt, ping, pingcmd,
    psnt, qcainfo, qcfg, qcrmcall, qcrsrp, qcsq, qemminfo, qeng, qgpsloc, qhttpget, qiact, qicsgp, qidnsgip,
    qigeterror, qind, qinistat, qiopen, qiurc, qmbncfg, qmtopen, qmtpub, qnetdevctl, qnetrc, qnwcfg, qnwinfo, qnwlock,
    qnwprefcfg, qpinc, qping, qrsrp, qsimdet, qsimstat, qspn, qss, qtemp, quimslot, qusim, rejinfo, rfsts,
    rfswitch, rsrp, rssi, sapbr, sbc, scact, scfg, scks, sctm_b, selrat, servinfo, sgact, shreq, sim, simdet,
    simdet_caret, simselect, simst, smoni, sqnmoni, srvst, sxrat, syscfgex, sysinfo, sysinfoex, tempmeas,
    ubandmask, ucged, udnsrn, ugpioc, uims, umnoprof, upsnd, urat, uuhttpcr, uuping, uupinger, uupsda, uupsdd,
    uusoco, xbandlock, xcband, xcesq, xhttpcrsp, xlec, xmci, xmodemsleep, xmonitor, xping, xsim, xsystemmode,
    xtemp, xvbat, zcainfo
}
