"""The bibliography: a short key for every source that a formula, a table or a test names.

`read` says how far the source was seen: "read" (the number or equation was read, in the original or a reprint), "open data" (the
file itself was read), "library" (an independent program computed it), "derived" (worked out here from named first principles),
"practice" (common practice of the trade, no source), or "memory" (not verified: whatever rests on it says so).
"""
from __future__ import annotations

from dataclasses import dataclass

GRADES = ("read", "open data", "library", "derived", "practice", "memory")


@dataclass(frozen=True)
class Source:
    citation: str
    read: str = "read"

    @property
    def verified(self) -> bool:
        return self.read != "memory"


SOURCES: dict[str, Source] = {
    # ---- everywhere
    "Practice": Source("Common practice of the trade, no source.", "practice"),
    "Geometry": Source("Elementary geometry and arithmetic, worked in the test beside the formula.", "derived"),
    "NIST811": Source("NIST Special Publication 811 (2008), Appendix B: exact definitions of the inch, the US gallon (231 in³), the acre-foot; UK Units of Measurement Regulations: imperial gallon 4.54609 L.", "read"),
    # ---- survey
    "AH590": Source("USDA Natural Resources Conservation Service, Ponds: Planning, Design, Construction, Agriculture Handbook 590 (prismoidal rule for excavated ponds).", "memory"),
    "SRAC103": Source("Southern Regional Aquaculture Center, Publication 103: calculating area and volume of ponds and tanks (salt-dilution method among them).", "memory"),
    "NaClConductivity": Source("CRC Handbook of Chemistry and Physics, equivalent conductivities of aqueous electrolytes at 25 °C: NaCl 126.4 S cm²/mol at no concentration, 118.5 at 0.01 mol/L.", "memory"),
    "GUM": Source("JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in measurement (GUM); checked against scipy.stats.", "library"),
    "PHREEQC": Source("PHREEQC (US Geological Survey) with its phreeqc.dat, called through phreeqpython.", "library"),
    "IAPWS95": Source("IAPWS-95, the international formulation for the thermodynamic properties of water, as evaluated by CoolProp 8.0 at 101.325 kPa.", "library"),
    "OpenStudioStat": Source("Monthly statistics of EnergyPlus weather files (CWEC2016, TMY3, TMYx, CZ2010) in the public repository NREL/openstudio-standards, data/weather; each file is named on top of tables/climates.csv.", "open data"),
    # ---- fish and oxygen
    # ---- nitrogen and filter
    "FAO589": Source("Somerville, Cohen, Pantanella, Stankus & Lovatelli 2014, Small-scale aquaponic food production, FAO Fisheries and Aquaculture Technical Paper 589, Tables 4.1, 3.1-3.2 and Appendix 4.", "memory"),
    "TimmonsEbeling2010": Source("Timmons & Ebeling 2010, Recirculating Aquaculture, 2nd edition, chapters on mass balance and biofiltration.", "memory"),
    "MetcalfEddy2003": Source("Metcalf & Eddy 2003, Wastewater Engineering: Treatment and Reuse, 4th edition, chapters 7 and 9 (Table 9-1: trickling filter media).", "memory"),
    "Eding2006": Source("Eding, Kamstra, Verreth, Huisman & Klapwijk 2006, Design and operation of nitrifying trickling filters in recirculating aquaculture: a review, Aquacultural Engineering 34:234-260.", "memory"),
    "Rusten2006": Source("Rusten, Eikebrokk, Ulgenes & Lygren 2006, Design and operations of the Kaldnes moving bed biofilm reactors, Aquacultural Engineering 34:322-331.", "memory"),
    "MaloneBeecher2000": Source("Malone & Beecher 2000, Use of floating bead filters to recondition recirculating waters in warmwater aquaculture production systems, Aquacultural Engineering 22:57-73.", "memory"),
    "Summerfelt2006": Source("Summerfelt 2006, Design and management of conventional fluidized-sand biofilters, Aquacultural Engineering 34:275-302.", "memory"),
    "SphereBed": Source("Geometry of a bed of equal balls: surface per volume of bed = 6 (1 - void fraction)/diameter (used by Ergun and by Carman and Kozeny).", "derived"),
    # ---- pipes and pump
    "ASTMD1785": Source("ASTM D1785, Standard Specification for PVC Plastic Pipe, Schedules 40, 80 and 120: tables 1 and 2 (outside diameters, minimum walls), read in transcriptions, and as the library fluids 1.3.1 holds it.", "read"),
    "ISO1452": Source("EN ISO 1452-2, Plastics piping systems for water supply, PVC-U, Part 2: Pipes (walls of PN 10 and PN 16).", "memory"),
    "MunsonFluid": Source("Munson, Young & Okiishi, Fundamentals of Fluid Mechanics: table 8.2 (loss coefficients, p. 294 of the 6th edition), examples 8.1 and 8.8.", "read"),
    "CengelFluid": Source("Cengel & Cimbala, Fluid Mechanics: Fundamentals and Applications: table 8-4 (loss coefficients, pp. 350-351), examples 5-15, 8-2, 8-3, 8-8 and 14-2.", "read"),
    "FoxFluid": Source("Fox & McDonald, Introduction to Fluid Mechanics: examples 8.5, 8.7 and 8.8.", "read"),
    "Crane410": Source("Crane Co., Technical Paper 410, Flow of Fluids Through Valves, Fittings and Pipe (2009): solved problems 7.1, 7.6, 7.15, 7.19, 7.33 and 7.34 as quoted in the documentation of the library fluids.", "read"),
    "IRC2018": Source("International Residential Code 2018, Appendix A, table A.2.2 (equivalent lengths and K of screwed fittings), p. 822.", "read"),
    "RishelPump": Source("Rishel, HVAC Pump Handbook (2006), tables 3.7 to 3.10, pp. 57-58.", "read"),
    "KutzHandling": Source("Kutz (editor), Environmentally Conscious Materials Handling (2009), table 9.2 (loss coefficients).", "read"),
    "FluidsLibrary": Source("Bell and others, fluids 1.3.1, an open Python library of fluid dynamics (friction factors, fittings, pipe tables).", "library"),
    "MoodyChart": Source("Moody 1944, Friction factors for pipe flow, Trans. ASME 66:671-684: roughness legend (drawn tubing 0.0015 mm), read in reprints.", "read"),
    "Colebrook1939": Source("Colebrook 1939, Turbulent flow in pipes, with particular reference to the transition region between the smooth and rough pipe laws, J. Inst. Civ. Eng. 11:133-156; solved by the library fluids (method of Clamond).", "library"),
    "WallingfordTables": Source("HR Wallingford, Tables for the Hydraulic Design of Pipes, Sewers and Channels: recommended roughness values (PVC-U), read in reprints.", "read"),
    "IllinoisCode906": Source("Illinois Administrative Code, title 77, part 906, Appendix A, Exhibit I: friction loss in Schedule 40 plastic pipe, Hazen-Williams C = 150.", "read"),
    "HazenWilliams": Source("Williams & Hazen 1905, Hydraulic Tables; SI form h = 10.67 L Q^1.852 / (C^1.852 d^4.8704), evaluated.", "derived"),
    "Tanaka2001": Source("Tanaka, Girard, Davis, Peuto & Bignell 2001, Recommended table for the density of water between 0 °C and 40 °C, Metrologia 38:301-309 (coefficients read in open code).", "read"),
    "IAPWSSR6": Source("IAPWS SR6-08(2011), Properties of liquid water at 0.1 MPa (viscosity equation, read in the open library iapws 1.5.5).", "read"),
    "Affinity": Source("Affinity laws of centrifugal pumps, as in any textbook of fluid mechanics; worked in Crane TP-410 (2009), problem 7.33.", "read"),
    "Suehrcke1997": Source("Suehrcke, Appelbaum & Reshef 1997, Solar Energy 59:37-42 (abstract): affinity laws hold for a permanent-magnet direct-current motor and centrifugal pump at varying voltage.", "read"),
    # ---- sun and electricity
    # ---- water chemistry
    "Emerson1975": Source("Emerson, Russo, Lund & Thurston 1975, Aqueous ammonia equilibrium calculations: effect of pH and temperature, J. Fish. Res. Board Can. 32:2379-2383.", "read"),
    "CleggWhitfield1995": Source("Clegg & Whitfield 1995, A chemical model of seawater including dissolved ammonia, Geochim. Cosmochim. Acta 59:2403-2421, eq. 18; constants as written in PyCO2SYS 1.8.", "library"),
    "FA16": Source("Francis-Floyd & Watson 1996, Ammonia, University of Florida IFAS Extension, Fact Sheet FA-16, Table 1 and Figures 2-3.", "read"),
    "EPA1999": Source("US EPA 1999, 1999 Update of Ambient Water Quality Criteria for Ammonia, EPA-822-R-99-014; equations 1-4 as adopted in South Dakota ARSD 74:51:01, Appendix A.", "read"),
    "EPA2013": Source("US EPA 2013, Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, EPA 822-R-13-001; the equations are from memory, its printed values 17 and 1.9 mg/L at pH 7 and 20 °C were read.", "memory"),
}


def cite(key: str) -> str:
    """Write out one source; a source from memory says so.

    Raises
    ------
    KeyError
        The key is not in the bibliography.
    """
    source = SOURCES[key]
    return source.citation if source.verified else f"{source.citation} (from memory, unverified)"
