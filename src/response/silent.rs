//! Responses that are known and say nothing of the trouble, so that nothing is lost with them.

/// Settings of the session, text messages, calls, quality of service, slices, time, identities (TS 27.007, TS 27.005,
/// ITU-T V.250; gathered from memory).
const STANDARD: &str = "
    +C5GCAPA +C5GNSSAI +C5GNSSAIRDP +C5GPNSSAI +C5GQOS +C5GQOSRDP +C5GUSMS +CAAP +CABTRDP +CABTRI +CABTSR +CACM
    +CACSP +CAEMLPP +CALM +CAMM +CASIMS +CAVIMS +CBCAP +CBCHG +CBCS +CBM +CBST +CCFC +CCHC +CCHO +CCIOTOPT
    +CCIOTOPTI +CCUG +CCWA +CDIP +CDIS +CDS +CDSI +CECALL +CECN +CEDRXP +CEN +CEN1 +CEN2 +CEN3
    +CEN4 +CEPPI +CEPSFBS +CEUS +CEVDP +CGAPNRC +CGAUTO +CGBRRREP +CGCLASS +CGCMOD +CGDEL +CGDSCONT +CGEQMIN
    +CGEQNEG +CGEQOS +CGEQOSRDP +CGEQREQ +CGLA +CGLNKPR +CGMI +CGMM +CGMR +CGPIAF +CGQMIN +CGQOS +CGQREQ
    +CGSCONTRDP +CGSMS +CGTFT +CGTFTRDP +CHLD +CHSC +CHSD +CHSN +CHSR +CHST +CHSU +CHUP +CIOTOPT +CIPCA +CIREG
    +CIREGU +CIREP +CIREPI +CKPD +CLAC +CLADN +CLAE +CLAN +CLCC +CLIP +CLIR +CLVL +CMAR +CMCCS +CMEC +CMEE +CMER
    +CMGF +CMGL +CMGR +CMGS +CMGW +CMICO +CMMIVT +CMOD +CMOLR +CMOLRE +CMT +CMTI +CMTLR +CMUT +CMUX +CMWT +CNAP
    +CNEM +CNMI +CNMPSD +CNUM +COLP +COLR +COPN +CPBR +CPBS +CPMS +CPNER +CPNET +CPNSTAT +CPOS
    +CPOSR +CPPS +CPROT +CPUC +CPWC +CR +CRC +CRCES +CREJPAG +CRING +CRLA +CRLP +CRMC +CRMP +CRPLMN +CRSL
    +CRTDCP +CRUEPOLICY +CSAS +CSCA +CSCB +CSCS +CSDF +CSDH +CSGCR +CSIL +CSMP +CSMS +CSO +CSODCP +CSPN +CSS
    +CSSAC +CSSI +CSSN +CSSU +CSTA +CSTF +CSVM +CTFR +CUAD +CUSATD +CUSATE
    +CUSATEND +CUSATP +CUSATR +CUSATW +CUSD +CVDP +CVMOD +DR +DS +FCLASS +GCAP +GMI +GMM +GMR +GSN +ICF +IFC
    +ILRR IMEI +IPR SVN
";

/// The same of vendors: lamps, pins, clocks, sockets that are listed or closed, the framing of a stack's data (from
/// memory).
const OF_VENDORS: &str = "
    #AUTOBND ^BOOT +CAACK +CACLOSE +CADATAIND #CBC +CCHCLOSE +CCHSTART +CGNSPWR +CIPCLOSE +CIPSEND +CLTS
    +CMQTTACCQ +CMQTTCONNLOST +CMQTTDISC +CMQTTSTART +CMQTTSTOP +CNETLIGHT +CPWROFF +CSCLK +CSQN ^DSFLOWRPT
    #GPIO +HTTPREAD +HTTPSTATUS +IPCLOSE +KTCPCFG +KTCPSTAT +KUDPCFG ^LWURC +MIPCLOSE +MIPSTAT +NETCLOSE #NITZ
    +NSOCLI +NSOCR +NSOSTR +QAPPLY +QGMR +QHTTPCFG +QHTTPREAD +QIDNSCFG +QHTTPURL +QICLOSE +QISTATE +QISTATEEX +QLTS
    +QMTCFG +QMTCLOSE +QMTDISC +QMTSTAT +QPOWD +QSIMVOL +QSSLSTATE +QURCCFG #SELINT +SHSTATE #SI ^SICI #SIMPR
    ^SIS ^SISE ^SISI ^SISO #SLED +SMSTATE +SQNSH +SQNSI +SQNSS #SS +STC ^STIN +STIN #USBCFG +USOCR +USOCTL
    +USOER +USOST +USOWR +UUSOCL +UUSOLI #XRECV #XSEND #XSOCKET #XTCPDATA
";

/// Whether a prefix is that of a response which says nothing of the trouble.
pub(crate) fn says_nothing(prefix: &str) -> bool {
    let mut all = [STANDARD, OF_VENDORS].into_iter().flat_map(str::split_ascii_whitespace);
    all.any(|known| known.eq_ignore_ascii_case(prefix))
}

#[cfg(test)]
mod tests {
    use super::{OF_VENDORS, STANDARD};
    use crate::response::family;

    #[test]
    fn nothing_that_a_family_reads_is_said_to_be_silent_and_none_stands_twice() {
        let mut all: Vec<&str> =
            [STANDARD, OF_VENDORS].into_iter().flat_map(str::split_ascii_whitespace).collect();
        for prefix in &all {
            assert!(family(prefix).is_none(), "{prefix} is read");
            assert_eq!(*prefix, prefix.to_ascii_uppercase());
        }
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
