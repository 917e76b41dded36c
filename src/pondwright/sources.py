"""The bibliography: a short key for every source that a formula, a table or a test names.

`read` says how far the source was seen: "read" (the number or equation was read, in the original or a reprint), "open data" (the
file itself was read), "library" (an independent program computed it), "derived" (worked out here from named first principles),
"practice" (common practice of the trade, no source), or "memory" (not verified: whatever rests on it says so).
"""
from __future__ import annotations

import re
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
    "ColdRecords": Source("Records of cold: Environment Canada, Canadian Climate Normals 1971-2000 (Calgary -45.0, Edmonton International -48.3, Saskatoon -50.0 °C); National Weather Service Boulder, 16 January 2024 (Denver -29 °F); WGN weather desk, Chicago (Fairbanks -66 °F).", "read"),
    "WeatherFile": Source("The file of hourly weather that the pond file names under [place].", "open data"),
    # ---- fish and oxygen
    "Judgement": Source("A judgement of this workbook's authors, no source.", "practice"),
    "ISO2533": Source("ISO 2533 / ICAO standard atmosphere: pressure below 11 km (equation from memory; the library fluids agrees).", "library"),
    "BensonKrause1984": Source("Benson & Krause 1980 and 1984, The concentration and isotopic fractionation of oxygen dissolved in freshwater and seawater in equilibrium with the atmosphere, Limnol. Oceanogr. 25:662-671 and 29:620-632, equations 24 and 32 as written in open code (jsta/wql, R/oxySol.R).", "read"),
    "APHA4500O": Source("APHA/AWWA/WEF, Standard Methods for the Examination of Water and Wastewater, 4500-O, Table 4500-O:I: constants, pressure and vapour-pressure terms as documented by open models; the worked example is from memory.", "read"),
    "ISO5814": Source("ISO 5814 / EN 25814, Water quality: determination of dissolved oxygen, annex table of air-saturated water, read in a reprint.", "read"),
    "Gelda1996": Source("Gelda, Auer, Effler, Chapra & Storey 1996, Determination of reaeration coefficients: whole-lake approach, J. Environ. Eng. 122:269-275, abstract.", "read"),
    "Banks1977": Source("Banks & Herrera 1977, Effect of wind and rain on surface reaeration, J. Environ. Eng. Div. ASCE 103:489-504.", "memory"),
    "ElmoreWest1961": Source("Elmore & West 1961, Effect of water temperature on stream reaeration, J. Sanit. Eng. Div. ASCE 87: theta 1.024, as quoted in the documentation of stream models.", "read"),
    "SODTheta": Source("Temperature factor 1.065 of sediment oxygen demand, as in textbooks of surface-water quality (Thomann & Mueller 1987; Chapra 1997).", "memory"),
    "Moniwa1986": Source("Moniwa 1986, Laboratory studies on the oxygen demand of bottom sediments, Japan J. Water Pollut. Res. 9:231-238, abstract: 0.2 to 0.4 g/m2 a day in still water, 0.8 to 1.2 when gently stirred.", "read"),
    "USGS2016SOD": Source("Foster, King & Graham 2016, Sediment oxygen demand in eastern Kansas streams, 2014 and 2015, US Geological Survey SIR 2016-5113, abstract: 0.01 to 3.15 g/m2 a day.", "read"),
    "Rolley1967": Source("Rolley & Owens 1967, Oxygen consumption rates and some chemical properties of river muds, Water Res. 1:759-766, abstract: 0.006 to 0.41 g/m2 an hour at 74 sites.", "read"),
    "Madenjian1987": Source("Madenjian, Rogers & Fast 1987, Predicting night time dissolved oxygen loss in prawn ponds of Hawaii, Aquacult. Eng. 6:191-208, abstract: the water took 42 %, the sediment 50 % of the whole pond's respiration.", "read"),
    "BoydHanson2010": Source("Boyd & Hanson, Dissolved-oxygen concentrations in pond aquaculture, Global Aquaculture Advocate: growth falls below 50 % of saturation, about 4 mg/L at 26 °C.", "read"),
    "Bister2000": Source("Bister, Willis, Brown, Jordan, Neumann, Quist & Guy 2000, Proposed standard weight (Ws) equations, N. Am. J. Fish. Manage. 20:570-574, constants as in the open data of the R package FSA (data-raw/WSlit.csv).", "read"),
    "FishBaseCarp": Source("FishBase, summary of length-weight relations of Cyprinus carpio: a 0.0148 (0.0125 to 0.0175), b 3.02.", "memory"),
    "Schofield2005": Source("Schofield, Williams, Nico, Fuller & Thomas 2005, Foreign nonindigenous carps and minnows (Cyprinidae) in the United States, US Geological Survey SIR 2005-5041, p. 22: goldfish generally reach 15 to 20 cm and 100 to 300 g, at most 59 cm; they survive pH 4.5 to 10.5 and 0 to 41 °C.", "read"),
    "Froese2014": Source("Froese, Thorson & Reyes 2014, A Bayesian approach for estimating length-weight relationships in fishes, J. Appl. Ichthyol. 30:78-85: elongated fish a 0.0039, b 3.12; spindle-shaped 0.0112, 3.04; short and deep 0.0187, 3.01.", "memory"),
    "Yamanaka2013": Source("Yamanaka, Takahara, Kohmatsu & Yuma 2013, Body size and temperature dependence of routine metabolic rate and critical oxygen concentration in larvae and juveniles of the round crucian carp, J. Appl. Ichthyol. 29:891-895, abstract.", "read"),
    "CookeHill2010": Source("Cooke & Hill 2010, bioenergetics of bighead carp, as listed in the open parameter file of Deslauriers, Chipps, Breck, Rice & Madenjian 2017 (Fisheries 42:586-596).", "read"),
    "Waversveld1989": Source("Van Waversveld, Addink & van den Thillart 1989, Simultaneous direct and indirect calorimetry on normoxic and anoxic goldfish, J. Exp. Biol. 142:325-335, abstract: 700 J/h for each kg^0.85 at 20 °C.", "read"),
    "ElliottDavison1975": Source("Elliott & Davison 1975, Energy equivalents of oxygen consumption in animal energetics, Oecologia 19:195-201: 13 560 J/g, as quoted in documentation of fish energetics.", "read"),
    "Fu2005": Source("Fu, Xie & Cao 2005, Effect of feeding level and feeding frequency on specific dynamic action in Silurus meridionalis, J. Fish Biol., abstract: peak oxygen use 175.4 + 47.3 times the meal in % of body mass, mg/kg/h, at 27.5 °C.", "read"),
    "Goolish1984": Source("Goolish & Adelman 1984, Effects of ration size and temperature on the growth of juvenile common carp (Cyprinus carpio L.), Aquaculture 36:27-35, abstract.", "read"),
    "FAOCarp": Source("FAO, Aquaculture Feed and Fertilizer Resources Information System, Common carp: natural food and feeding habits; feeding methods.", "read"),
    "SRAC453": Source("Southern Regional Aquaculture Center, Publication 453 (revision, Malone 2013), paragraph on tank densities, read in a reprint.", "read"),
    "MacanMaudsley1966": Source("Macan & Maudsley 1966, The temperature of a moorland fishpond, Hydrobiologia 27:1-22, summary.", "read"),
    "Bengtsson2020": Source("Bengtsson & Ali-Maher 2020, The dependence of the consumption of dissolved oxygen on lake morphology in ice covered lakes, Hydrology Research 51:381-391, introduction: ice cuts the water off from the air, no gas is exchanged.", "read"),
    "CRREL043": Source("US Army Cold Regions Research and Engineering Laboratory, Ice Engineering Technical Note 04-3 (modified Stefan equation: 0.8 inch for each square root of a Fahrenheit degree day on a windy lake without snow, 0.5 to 0.7 with snow).", "read"),
    # ---- nitrogen and filter
    "FAO589": Source("Somerville, Cohen, Pantanella, Stankus & Lovatelli 2014, Small-scale aquaponic food production, FAO Fisheries and Aquaculture Technical Paper 589, Table 4.1 and Appendix 4 (worked example of a filter); other parts of the paper were read: see FAO589Ratios.", "memory"),
    "TimmonsEbeling2010": Source("Timmons & Ebeling 2010, Recirculating Aquaculture, 2nd edition, chapters on mass balance and biofiltration.", "memory"),
    "MetcalfEddy2003": Source("Metcalf & Eddy 2003, Wastewater Engineering: Treatment and Reuse, 4th edition, chapters 7 and 9 (Table 9-1: trickling filter media).", "memory"),
    "Eding2006": Source("Eding, Kamstra, Verreth, Huisman & Klapwijk 2006, Design and operation of nitrifying trickling filters in recirculating aquaculture: a review, Aquacultural Engineering 34:234-260.", "memory"),
    "Rusten2006": Source("Rusten, Eikebrokk, Ulgenes & Lygren 2006, on the design and operation of moving bed biofilm reactors, Aquacultural Engineering 34:322-331.", "memory"),
    "MaloneBeecher2000": Source("Malone & Beecher 2000, Use of floating bead filters to recondition recirculating waters in warmwater aquaculture production systems, Aquacultural Engineering 22:57-73.", "memory"),
    "Summerfelt2006": Source("Summerfelt 2006, Design and management of conventional fluidized-sand biofilters, Aquacultural Engineering 34:275-302.", "memory"),
    "SphereBed": Source("Geometry of a bed of equal balls: surface per volume of bed = 6 (1 - void fraction)/diameter (used by Ergun and by Carman and Kozeny).", "derived"),
    "FAO589Ratios": Source("Somerville, Cohen, Pantanella, Stankus & Lovatelli 2014, FAO Fisheries and Aquaculture Technical Paper 589: feed rate ratios, feeding rates and water-quality tolerances (section 2.1.4, chapter 8, tables 3.1-3.2), read in reprints.", "read"),
    "ExtensionAmmonia": Source("Extension text on fish pond water quality: ammonia from fish, 25 mg for each gram of feed, or 25 mg for each 100 g of fish a day, with worked examples; read in a reprint.", "read"),
    "ZhuChen1999": Source("Zhu & Chen 1999, An experimental study on nitrification biofilm performances using a series reactor system, Aquacultural Engineering 20:245-259 (abstract: R = 1859 (S - 0.07)/(S + 1.93) mg/m²/d at 27.2 °C).", "read"),
    "ZhuChen2002": Source("Zhu & Chen 2002, The impact of temperature on nitrification rate in fixed film biofilters, Aquacultural Engineering 26:221-237 (abstract: near 20 °C 1.108 % per °C where oxygen limits, 4.275 % per °C where TAN limits).", "read"),
    "Kamstra1998": Source("Kamstra, van der Heul & Nijhof 1998, Performance and optimisation of trickling filters on eel farms, Aquacultural Engineering 17:175-192 (half-order kinetics).", "memory"),
    "Malone2006": Source("Malone, Bergeron & Cristina 2006, Linear versus Monod representation of ammonia oxidation rates in oligotrophic recirculating aquaculture systems, Aquacultural Engineering 34:214-223 (abstract: at 0.1 to 0.5 g TAN/m³ a straight line through zero fits best).", "read"),
    "WortmanWheaton1991": Source("Wortman & Wheaton 1991, Temperature effects on biodrum nitrification, Aquacultural Engineering 10:183-205.", "memory"),
    "AquaDictionary": Source("An aquaculture dictionary's table 'Nitrification activity in relation to temperature' (0.3, 0.5, 0.7, 0.9, 1.0 g/m²/d at 5 to 25 °C, no concentration given).", "read"),
    "LingChen2005": Source("Ling & Chen 2005, Impact of organic carbon on nitrification performance of different biofilters, Aquacultural Engineering 33:150-162 (abstract: 60 to 70 % less as COD/N rises from 0 to 3; tests at 15 and 20 °C).", "read"),
    "Michaud2006": Source("Michaud, Blancheton, Bruni & Piedrahita 2006, Effect of particulate organic carbon on heterotrophic bacterial populations and nitrification efficiency in biological filters, Aquacultural Engineering 34:224-233 (abstract: 30 % less at C/N 0.5, 50 % less above).", "read"),
    "StenstromSong1991": Source("Stenstrom & Song 1991, Effects of oxygen transport limitation on nitrification in the activated sludge process, Research Journal WPCF 63:208-219 (abstract: oxygen begins to limit between 0.5 and 4.0 mg/L).", "read"),
    "NMSU680": Source("Sallenave, Understanding water quality parameters to better manage your pond, New Mexico State University Circular 680: warm-water fish need 5 mg/L of oxygen.", "read"),
    "BeadStages1996": Source("Nitrification in three-stage and single-stage floating bead biofilters in a laboratory-scale recirculating aquaculture system, Aquacultural Engineering 15 (1996) (abstract: 5 to 15 % of the influent TAN removed in each stage).", "read"),
    "GravelBiofilter1992": Source("Journal of Applied Aquaculture 1(3), 1992, article on predicting the carrying capacity of biofilters: gravel bed run at 5, 11, 22 and 44 mL/cm²/min (one page read).", "read"),
    "EnvWq714": Source("New Hampshire Code of Administrative Rules Env-Wq 714.02, Table 714-1: trickling filters (nitrification 0.6 to 1.5 gpm/ft²; media 14 to 68 ft²/ft³).", "read"),
    "Nitrification": Source("Stoichiometry worked from NH4+ + 2 O2 -> NO3- + 2 H+ + H2O with standard atomic weights: 4.57 g of oxygen and 7.14 g of alkalinity as CaCO3 for each gram of N.", "derived"),
    "Ebeling2006": Source("Ebeling, Timmons & Bisogni 2006, Engineering analysis of the stoichiometry of photoautotrophic, autotrophic, and heterotrophic removal of ammonia-nitrogen in aquaculture systems, Aquaculture 257:346-358 (reaction).", "memory"),
    "EPA1975": Source("US EPA 1975, Process Design Manual for Nitrogen Control (reaction with cell growth; growth rate 0.47 e^(0.098(T - 15)) at 15 °C with oxygen and pH factors).", "memory"),
    "HaugMcCarty1972": Source("Haug & McCarty 1972, Nitrification with submerged filters, Journal WPCF 44:2086-2102 (1.86 mol of oxygen for each mol of N).", "memory"),
    "GujerJenkins1974": Source("Gujer & Jenkins 1974, as quoted in a wastewater text, equation 3.10: 4.32 g of oxygen for each gram of NH4-N oxidised to nitrate.", "read"),
    "ASM1": Source("IWA Activated Sludge Model No. 1, typical values for autotrophs (0.8 and 0.3 per day at 20 and 10 °C, K_NH 1.0 g N/m³, yield 0.24, decay 0.05), read in open model code.", "read"),
    "Villaverde1997": Source("Villaverde, García-Encina & Fdz-Polanco 1997, Influence of pH over nitrifying biofilm activity in submerged biofilters, Water Research 31:1180-1186 (abstract: from pH 5.0 to 9.0 one unit of pH more brings 13 % more nitrification).", "read"),
    "TarreGreen2004": Source("Tarre & Green 2004, High-rate nitrification at low pH in suspended- and attached-biomass reactors, Applied and Environmental Microbiology 70:6481-6487 (abstract: full rate in a film at pH 4.3).", "read"),
    "WisconsinSand": Source("A University of Wisconsin report of 1993 on recirculating sand filters behind septic tanks, page 10: alkalinity (as CaCO3) should be held above 40 mg/L for nitrification (quoting Sandy 1987).", "read"),
    "RittmannMcCarty": Source("Steady state of a growing film: growth equals decay at S_min = K b/(mu - b), worked from the Monod equation (Rittmann & McCarty's minimum concentration).", "derived"),
    "GraberJunge2009": Source("Graber & Junge 2009, Aquaponic systems: nutrient recycling from fish wastewater by vegetable production, Desalination 246:147-156 (abstract).", "read"),
    "Boyd1976": Source("Boyd 1976, Accumulation of dry matter, nitrogen and phosphorus by cultivated water hyacinths, Economic Botany 30:51-56, with the studies it cites (abstract).", "read"),
    "ReddyDeBusk1985": Source("Reddy & De Busk 1985, Nutrient removal potential of selected aquatic macrophytes, Journal of Environmental Quality 14:459-462 (abstract: plants take up 16 to 75 % of the nitrogen removed).", "read"),
    "Seawright1998": Source("Seawright, Stickney & Walker 1998, Nutrient dynamics in integrated aquaculture-hydroponics systems, Aquaculture 160:215-237; with Licamele 2009 (lettuce).", "memory"),
    "Vymazal2007": Source("Vymazal 2007, Removal of nutrients in various types of constructed wetlands, Science of the Total Environment 380:48-65 (nitrogen in emergent plants).", "memory"),
    "Rakocy2007": Source("Rakocy 2007, Ten guidelines for aquaponic systems, Aquaponics Journal 46:14-17 (60 to 100 g of feed for each m² of raft a day).", "read"),
    "Meade1985": Source("Meade 1985, Allowable ammonia for fish culture, Progressive Fish-Culturist 47:135-145 (abstract: 0.0125 mg/L of un-ionized ammonia is commonly accepted; often the safe level lies well above).", "read"),
    "EIFAC1973": Source("European Inland Fisheries Advisory Commission 1973, Water quality criteria for European freshwater fish: ammonia, Water Research 7:1011-1022 (0.025 mg/L of un-ionized ammonia).", "memory"),
    "Mnyoro2022": Source("Mnyoro, Munubi, Pedersen & Chenyambuga 2022, Evaluation of biofilter performance with alternative local biomedia in pilot scale recirculating aquaculture systems, Journal of Cleaner Production 366:132929 (abstract: full capacity after six to seven weeks).", "read"),
    # ---- pipes and pump
    "ASTMD1785": Source("ASTM D1785, Standard Specification for PVC Plastic Pipe, Schedules 40, 80 and 120: tables 1 and 2 (outside diameters, minimum walls), read in transcriptions, and as the library fluids 1.3.1 holds it.", "read"),
    "ISO1452": Source("EN ISO 1452-2, Plastics piping systems for water supply, PVC-U, Part 2: Pipes (walls of PN 10 and PN 16).", "memory"),
    "MunsonFluid": Source("Munson, Young & Okiishi, Fundamentals of Fluid Mechanics: table 8.2 (loss coefficients, p. 294 of the 6th edition), examples 8.1, 8.8 and 12.3. The numbers were read in an open transcription of the book's examples and in handbooks that reprint the table, not in the book itself.", "read"),
    "CengelFluid": Source("Cengel & Cimbala, Fluid Mechanics: Fundamentals and Applications: table 8-4 (loss coefficients, pp. 350-351), examples 5-15, 8-2, 8-3, 8-8 and 14-2. The numbers were read in an open transcription of the book's examples and in reprints of the table, not in the book itself.", "read"),
    "FoxFluid": Source("Fox & McDonald, Introduction to Fluid Mechanics: examples 8.5, 8.7 and 8.8, read in an open transcription of the book's examples, not in the book itself.", "read"),
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
    # ---- the filter vessel
    "SaezCarbonell1985": Source("Sáez & Carbonell 1985, Hydrodynamic parameters for gas-liquid cocurrent flow in packed beds, AIChE Journal 31:52-62: static holdup; its form 1/(20 + 0.9 E) was read in a textbook on packed bed columns (eq. 62), E itself is from memory.", "read"),
    "BilletSchultes1999": Source("Billet & Schultes 1999, Prediction of mass transfer columns with dumped and arranged packings, Trans. IChemE 77A:498-504: liquid holdup below the loading point (equation from memory; its form with 12 was read in a textbook on packed bed columns).", "memory"),
    "Stichlmair1989": Source("Stichlmair, Bravo & Fair 1989, General model for prediction of pressure drop and capacity of countercurrent gas/liquid packed columns, Gas Separation & Purification 3:19-28: holdup below loading, as written in the library fluids 1.3.1.", "library"),
    "Nusselt1916": Source("Nusselt 1916, Die Oberflächenkondensation des Wasserdampfes: thickness of a calm film that slides down a wall, (3 v q/g)^(1/3), derived in any textbook of fluid mechanics.", "derived"),
    "Stokes1851": Source("Stokes' law of a sinking ball, as in any textbook of fluid mechanics; checked with the viscosity and density of CoolProp 8.0.", "library"),
    "SchillerNaumann1933": Source("Schiller & Naumann 1933, a drag coefficient of balls: 24/Re (1 + 0.15 Re^0.687) up to Re = 800, as open lessons and program libraries of fluid mechanics quote it; checked with the correlations of fluids 1.3.1.", "library"),
    "SolidsTalk": Source("World Aquaculture Society, meeting abstract 165932 on solids in recirculating systems: 0.3 to 0.4 kg of faeces for a kilogram of feed (salmon), 0.2 to 0.7 (catfish); density 1050 to 1190 kg/m³; particles finer than 20 µm are 40 to 70 % of the mass in suspension.", "read"),
    "SolidsProduction": Source("Desbarats, Solids production and removal in intensive salmonid aquaculture (a company's article): quotes Stechey & Trudell 1990, 300 g for a kilogram of feed, and Henderson & Bromage 1988, 0.3 to 0.65.", "read"),
    "SettlingReprint": Source("Solids removal, an encyclopedia article on aquaculture effluents read in a reprint: settling tanks with overflow rates of 40 to 80 m/d keep 65 to 85 % of the suspended solids.", "read"),
    "YellowtailFaeces1989": Source("Aquaculture Science (Japan) 37:27-33, 1989, Oxygen consumption of remaining feed and feces in pen culture of yellowtail and red sea bream, abstract: 4.2 (faeces) and 8.8 (solid feed) mg of oxygen for a gram in an hour at 20 °C, factors 1.075 and 1.088 for each degree, 15 to 25 °C.", "read"),
    "RestingRespiration": Source("A glossary of sewage treatment, entry endogenous respiration: about 0.4 mg of oxygen for a gram of sludge in a minute in nitrifying plants, 1 to 3 mg while they work.", "read"),
    "Siegrist1999": Source("Siegrist, Brunner, Koch, Linh Con Phan & Van Chieu Le 1999, Reduction of biomass decay rate under anoxic and anaerobic conditions, Water Sci. Technol. 39(1):129-137, abstract: nitrifying power decays by 0.2 a day with oxygen and 0.03 a day without at 20 °C; respiration on nitrate is 35 to 40 % slower.", "read"),
    "Manser2006": Source("Manser, Gujer & Siegrist 2006, Decay processes of nitrifying bacteria in biological wastewater treatment systems, Water Research 40:2416-2426, abstract: decay without oxygen is negligible; ammonia oxidizers need 12 h with food to reach their full growth rate.", "read"),
    "GasLaw": Source("The ideal gas law with 20.95 % of oxygen in dry air; worked in the test beside the formula.", "derived"),
    "OxygenInAir": Source("Diffusion coefficient of oxygen in air, 0.178 cm²/s at 0 °C, growing with the 1.75th power of temperature, as handbooks give it.", "memory"),
    "MillingtonQuirk1961": Source("Millington & Quirk 1961, Permeability of porous solids, Trans. Faraday Soc. 57:1200-1207 (air^(10/3)/void²).", "memory"),
    "Penman1940": Source("Penman 1940, Gas and vapour movements in the soil, J. Agric. Sci. 30:437-462 (0.66 times the air-filled porosity), as quoted in the documentation of an open groundwater model.", "read"),
    "FickSteady": Source("Fick's second law in steady state with an even uptake and one closed end, derived in the test beside the formula.", "derived"),
    "Orifice": Source("Discharge through a sharp-edged hole, cd A sqrt(2 g h), as in any textbook of fluid mechanics.", "read"),
    "DeadEndManifold": Source("Bernoulli's law along a drilled pipe with a closed end, no friction: V = sqrt(2 g E) sin(r(1 - s)), so the first hole gives cos r of the last; derived for this workbook and checked by numerical integration.", "derived"),
    "PumpParabola": Source("Pump curve taken as a parabola through the largest head and the largest flow, as textbooks draw centrifugal pumps; a common assumption, no source.", "practice"),
    # ---- drains and siphons
    "Unwin1911": Source("Unwin, Hydraulics, in Encyclopaedia Britannica, 11th edition (1911), vol. 14: coefficients of round sharp-edged orifices (tables of Hamilton Smith, Ellis and Mair, sections 20-21; fit 0.6075 + 0.0098/sqrt(h) - 0.0037 d, h in feet, d in inches), large round jets (section 40), short tubes 0.82 (section 43).", "read"),
    "DrownedHole": Source("First principles: where water stands on both sides of a hole the difference of the two levels drives the flow (Torricelli); worked in the test by scipy's quad.", "derived"),
    "NJAC79A": Source("New Jersey Administrative Code 7:9A-9.7, table of hole discharge: 11.79 d² sqrt(h) US gpm, d in inches, h in feet (cd about 0.60).", "read"),
    "SharpWeir": Source("Weir as long as a pipe's lip: (2/3) cd sqrt(2 g) L h^1.5 with the basic coefficient 0.62 of the suppressed rectangular weir (Lal, Hydraulics, example 4.5, read in an open transcription of the book's examples).", "read"),
    "BordaTube": Source("Bare pipe end that projects inward (Borda's mouthpiece): half the area by the balance of momentum, as long as it does not run full.", "derived"),
    "SiphonPriming": Source("First principles: a standpipe runs full once the flow over its lip drowns its mouth. No measured standard of bell or loop siphons was found.", "memory"),
    "PowerBasin": Source("Basin whose volume grows as a power of the depth, the power chosen so that volume and surface of the full pond are met; worked in the test for a cylinder and a cone.", "derived"),
    "NMFSPump": Source("US National Marine Fisheries Service, Southwest Region, Juvenile fish screen criteria for pump intakes: 0.4 ft/s up to a cleaned screen, 0.2 ft/s up to one that is not cleaned, for young salmon under 60 mm; openings of at most 3/32 inch, read on another page.", "read"),
    # ---- sun and electricity
    "Spencer1971": Source("Spencer 1971, Fourier series representation of the position of the sun, Search 2(5):172; coefficients as in pvlib 0.16.", "library"),
    "Cooper1969": Source("Cooper 1969, The absorption of radiation in solar stills, Solar Energy 12(3):333-346; formula as in pvlib 0.16.", "library"),
    "FAO56": Source("Allen, Pereira, Raes & Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, equations 21-25 and 34, examples 8, 9 and 18, annex 2 table 2.6 (read as quoted in open test suites).", "read"),
    "DuffieBeckman": Source("Duffie & Beckman, Solar Engineering of Thermal Processes: examples 1.6.1, 1.6.2, 2.14.1, 2.20.1 and tables 1.6.1, 1.10.1 (read as quoted in open test suites; their equations re-evaluated).", "read"),
    "KoppLean2011": Source("Kopp & Lean 2011, A new, lower value of total solar irradiance, Geophysical Research Letters 38:L01706 (1360.8 W/m²).", "memory"),
    "Erbs1982": Source("Erbs, Klein & Duffie 1982, Estimation of the diffuse radiation fraction for hourly, daily and monthly-average global radiation, Solar Energy 28(4):293-302; its monthly fit reproduces the fractions of Duffie & Beckman example 2.20.1.", "read"),
    "Bendt1981": Source("Bendt, Collares-Pereira & Rabl 1981, The frequency distribution of daily insolation values, Solar Energy 27:1-5, with the limits of Hollands & Huget 1983 and Herzog 1985, as in Duffie & Beckman section 2.9.", "memory"),
    "Knight1991": Source("Knight, Klein & Duffie 1991, A methodology for the synthesis of hourly weather data, Solar Energy 46:109-120: the order of a month's days, as printed in an open R program.", "read"),
    "HayDavies1980": Source("Hay & Davies 1980, Calculation of the solar radiation incident on an inclined surface, First Canadian Solar Radiation Data Workshop (sky light on a tilted panel; as pvlib computes it).", "library"),
    "LiuJordan1960": Source("Liu & Jordan 1960, The interrelationship and characteristic distribution of direct, diffuse and total solar radiation, Solar Energy 4(3):1-19, and their isotropic tilt model; equations as in Duffie & Beckman.", "read"),
    "CollaresPereira1979": Source("Collares-Pereira & Rabl 1979, The average distribution of solar radiation, Solar Energy 22(2):155-164 (r_t); checked against hourly sums by pvlib.", "library"),
    "Klein1977": Source("Klein 1977, Calculation of monthly average insolation on tilted surfaces, Solar Energy 19(4):325-329 (mean days, R_b).", "read"),
    "HourlySums": Source("Hour-by-hour sums on tilted panels by pvlib 0.16 (isotropic and Perez skies) over the weather years it ships: Greensboro 36 N, Miami 26 N, Sand Point 55 N.", "library"),
    "MeansAgainstHours": Source("1638 supplies of many sizes, tilts and directions, some behind a fence, run through hourly weather files of 13 places, 10 to 57 degrees from the equator (TMY2, TMY3, IWEC, ISHRAE, PVGIS), and through years made of the same files' monthly means; the hours of four of the places stand in the tests.", "library"),
    "PVWatts5": Source("Dobos 2014, PVWatts Version 5 Manual, NREL/TP-6A20-62641: DC power and default system losses, as documented in pvlib.", "read"),
    "SAMModules": Source("CEC module table of the System Advisor Model (NREL), 2019-03-05, as shipped with pvlib: 20,946 crystalline silicon modules.", "open data"),
    "NOCT": Source("Nominal operating cell temperature relation (800 W/m², 20 °C air, 1 m/s); Sandia PV Performance Modeling Collaborative, cell temperature pages.", "read"),
    "DailyLight": Source("Daily light integral from a quantum meter's readings, after J. Faust, as printed on a meter maker's page of support: 38.1 µmol/m²/s over 12 h are 1.6 mol/m² a day.", "read"),
    "Kusuma2020": Source("Kusuma, Pattison & Bugbee 2020, From physics to fixtures to food: current and potential LED efficacy, Hortic. Res. 7:56: micromoles of light per joule of electricity; limits 3.4 (white and red) and 4.1 µmol/J (blue and red).", "read"),
    "Runkle2020": Source("E. Runkle, A closer look at LED efficacy, Greenhouse Product News 2020: the best lamps up to 2014 gave 1.7 µmol/J; 1.9 is asked of a horticultural LED.", "read"),
    "LettuceDLI": Source("Both et al., as cited in Horticulturae 2020 6(1):7: lettuce grows best at 17 mol/m² a day; a review in Plants 2024 13(5):652 asks at least 12 for leafy greens.", "read"),
    "ElectricBasics": Source("Ohm's law, power = voltage x current, energy = power x time; worked in the test beside the formula.", "derived"),
    "NEC690": Source("National Electrical Code (NFPA 70), article 690: 690.7(A) cold voltage (factors 1.02, 1.18 and 1.21 read as quoted), 690.8 current factor 1.25, applied twice for a fuse or cable (1.56). Buy or consult the code itself before building.", "read"),
    "NEC310": Source("National Electrical Code (NFPA 70) 2023, table 310.16 and 310.15(B)(1), 240.4(D), chapter 9 table 8, read in transcriptions. Consult the code itself before building.", "read"),
    "NEC210": Source("National Electrical Code (NFPA 70), informational note to 210.19(A): a voltage drop of 3 % in a branch, 5 % the whole way, recommended; read as quoted in open-source code. It is written for buildings; 2 to 3 % is also the trade's rule for low-voltage direct current.", "read"),
    "BS7671Flex": Source("BS 7671 tables 4F3A and 4F3B, flexible cords with copper conductors, 60 °C: current-carrying capacity, ambient factors, voltage drop; read in a supplier's transcription.", "read"),
    "IEC60364": Source("IEC 60364-5-52, PVC cable, three loaded conductors, method B2 (multi-core cable in conduit), 30 to 55 °C; read in equipment manuals.", "read"),
    "IEC60228": Source("IEC 60228, Conductors of insulated cables: largest resistance at 20 °C by class, and temperature correction; read in two transcriptions.", "read"),
    "ASTMB258": Source("ASTM B258, standard nominal diameters and areas of American wire gauge; the defining formula.", "read"),
    "IACS": Source("International Annealed Copper Standard: 0.017241 ohm mm²/m at 20 °C, 0.00393 per kelvin.", "read"),
    "ISO8820": Source("ISO 8820-3:2015, Road vehicles, fuse-links with tabs (blade type): 32 V or 58 V, up to 100 A, breaking capacity 1000 A (abstract read); sizes as sold (read on trade pages).", "read"),
    "BatteryWorksheet": Source("Battery-sizing worksheet multipliers for cold lead-acid batteries (80 °F 1.00, 60 °F 1.11, 50 °F 1.19, 30 °F 1.40, 20 °F 1.59), widely reproduced; IEEE 485 gives nearly the same.", "read"),
    "HomePower": Source("Home Power magazine, designing a stand-alone system: Vermont example, 2.2 kWh a day, 24 V, 3 days, 50 % discharge, 60 °F: 675 Ah.", "read"),
    "BatteryDensity": Source("Rolls Battery Engineering, support article on specific gravity and state of charge: 100 % 1.255-1.275, 75 % 1.215-1.235, 50 % 1.180-1.200, 25 % 1.155-1.165, 0 % 1.110-1.130.", "read"),
    "TM51185": Source("US Army Technical Manual TM 5-1185, table III: electrolyte freezing points by specific gravity.", "read"),
    "StevensCorey1996": Source("Stevens & Corey 1996, A study of lead-acid battery efficiency near top-of-charge and the impact on PV system design, Sandia National Laboratories (abstract read, the numbers from memory).", "memory"),
    "LithiumSheets": Source("Data sheets of lithium iron phosphate cells and batteries (charge from 0 °C; about 80 % of capacity at 0 °C, 70 % at -20 °C; 92 to 98 % round trip), read on makers' pages.", "read"),
    "PoolBasin": Source("IEC 60364-7-702 / BS 7671 regulation 702.410.3.4.1 / CEI 64-8, inside a pool basin (zone 0): separated extra-low voltage (SELV) of at most 12 V alternating or 30 V ripple-free direct current, its source outside the zones round the water; read as quoted on a lamp maker's and on training pages. A basin that nobody enters may fall under other rules: the code of the place decides.", "read"),
    "StringFuse": Source("Home Power magazine, Why series fusing?: with one or two strings none is needed; from three strings on the others can push too much current back through a faulty one, unless the modules' series-fuse rating is above that; NEC 690.9(A) as quoted there.", "read"),
    "MainFuse": Source("Manual of a 12 V inverter, and ABYC E-11 as quoted by a maker of fuses: the fuse nearest the battery must be able to break the battery's short-circuit current; UL class T (10 000 A or more) within 178 mm of the plus pole.", "read"),
    "ExtraLow": Source("IEC glossary and Electropedia, safety extra-low voltage: at most 50 V alternating or 120 V ripple-free direct current, lower where live parts may be touched (IEC 61558-1:2005, 3.7.16, modified); at most 60 V direct current (IEC 62282-5-1:2012, 3.23, after IEC 60335-1). Entries read; the 60 V as the limit for touch in the dry (IEC 61140) read as quoted by makers of transformers.", "read"),
    "NFPA70Contact": Source("NEC 680.2 low-voltage contact limit near pools: 15 V AC, 30 V DC.", "memory"),
    # ---- water chemistry
    "WEF8": Source("Design of Municipal Wastewater Treatment Plants, WEF Manual of Practice No. 8 / ASCE Manual 76, section on dechlorination: free chlorine and chloramine are toxic to fish even below 0.02 mg/L.", "read"),
    "SRAC464": Source("Wurts & Durborow 1992, Interactions of pH, carbon dioxide, alkalinity and hardness in fish ponds, Southern Regional Aquaculture Center Publication 464 (fish may be stressed and die below pH 5 and above pH 10).", "read"),
    "SRAC4100": Source("Wurts & Masser, Liming ponds for aquaculture, Southern Regional Aquaculture Center Publication 4100; the same floor in Wurts 2002, World Aquaculture.", "read"),
    "LosordoDeLong": Source("Losordo & DeLong, Recirculating aquaculture systems technology, part 2, Global Aquaculture Advocate: alkalinity at start-up.", "read"),
    "AyersWestcot1985": Source("Ayers & Westcot 1985, Water quality for agriculture, FAO Irrigation and Drainage Paper 29, Table 1 (chloride for surface irrigation; read in a reprint of the table, whose unit is meq/L).", "read"),
    "Kubitza": Source("Kubitza, Common salt: a useful tool in aquaculture, part 2, Global Aquaculture Advocate.", "read"),
    "ShengXu2008": Source("Sheng & Xu 2008, Effects of thermal shock on some freshwater fishes, Int. Conf. Bioinformatics and Biomedical Engineering, 4535-4538 (abstract: common carp choose 27.4 to 31.2 °C; half of them die from 37.3 °C on, however slowly they get used to it).", "read"),
    "Oyugi2012": Source("Oyugi, Cucherousset, Baker & Britton 2012, Effects of temperature on the foraging and growth rate of juvenile common carp, J. Therm. Biol. 37:89-94 (abstract: growth is depressed at 16 and at 28 °C against 20 and 24 °C).", "read"),
    "Ferreira2014": Source("Ferreira, Anttila & Farrell 2014, Thermal optima and tolerance in the eurythermic goldfish, Physiol. Biochem. Zool. 87:599-611 (abstract: goldfish used to 28 °C do best from 26.9 to 30.5 °C; in goldfish used to 12 °C the heart falls out of step at 31 °C and the limit is 37.2 °C).", "read"),
    "MRDL1998": Source("US EPA, Disinfectants and Disinfection Byproducts Rule, Federal Register, 16 December 1998: at most 4 mg/L of chloramine as Cl2 in drinking water as a yearly mean, read as quoted by the State of Massachusetts.", "read"),
    "ADWGChloramine": Source("National Health and Medical Research Council, Australian Drinking Water Guidelines, information sheet 1.4, Chloramines: 3 to 5 parts of chlorine to one of ammonia, 4 typically.", "read"),
    "SRAC462": Source("Durborow, Crosby & Brunson 1997, Nitrite in fish ponds, Southern Regional Aquaculture Center Publication 462: chloride to nitrite at least 10 to 1, 100 mg/L of chloride in reserve (read in a reprint).", "read"),
    "FarmNitrite": Source("A fish farm's page on nitrite: 6 mg/L of chloride for each mg/L of nitrite, 100 to 150 mg/L in reserve.", "read"),
    "LabDechlorination": Source("A laboratory supplier's support note (Hach TE213, 2017): 7.0 mg of sodium thiosulfate pentahydrate for each mg of chlorine in a sample.", "read"),
    "PlummerBusenberg1982": Source("Plummer & Busenberg 1982, The solubilities of calcite, aragonite and vaterite in CO2-H2O solutions between 0 and 90 °C, Geochim. Cosmochim. Acta 46:1011-1040; constants read in phreeqc.dat.", "read"),
    "Millero1979": Source("Millero 1979, The thermodynamics of the carbonate system in seawater, Geochim. Cosmochim. Acta 43:1651-1661, ionization of water without salt; constants as written in PyCO2SYS 1.8.", "library"),
    "PlitviceTufa": Source("European Geologist, issue on geoheritage, article on the Plitvice Lakes, read in a reprint: calcium carbonate drops where the water holds more than 3 times what is saturated and its pH is above 8.", "read"),
    "ReddyHoch2012": Source("Reddy & Hoch 2012, Calcium carbonate nucleation in an alkaline lake surface water, Pyramid Lake, Nevada, USA, Aquat. Geochem. 18:95-113, abstract: surface water at 10 to 16 times saturation grew no crystals for months; the rate comes to nothing at 6.7 times.", "read"),
    "PyramidLake": Source("US Geological Survey, National Research Program, Geochemical background of Pyramid Lake: phosphate and dissolved organic acids hold back aragonite until about 20 times saturation.", "read"),
    "Neal2002": Source("Neal and others 2002, Calcite saturation in eastern UK rivers, Sci. Total Environ. 282-283:311-326, abstract: from a hundredth to a hundred times saturation, with no sign that lime sets the limit.", "read"),
    "Davies1962": Source("Davies 1962, Ion Association, Butterworths: equation for activity coefficients.", "memory"),
    "Tucker1984": Source("Tucker 1984, factors for carbon dioxide from pH, temperature and alkalinity, read in an extension reprint (the table of SRAC Publication 468).", "read"),
    "SRAC4604": Source("Tucker & D'Abramo 2008, Managing high pH in freshwater ponds, Southern Regional Aquaculture Center Publication 4604, Table 1 (numbers read in a reprint; the attribution is from memory).", "read"),
    "AtomicWeights": Source("Arithmetic on the standard atomic weights (IUPAC, as in periodictable 2.1).", "derived"),
    "AlkaliTable": Source("Theoretical alkalinities for key alkalis, table in a water-treatment article (its factor 1.28 for sodium hydroxide is wrong: 1.25).", "read"),
    "Emerson1975": Source("Emerson, Russo, Lund & Thurston 1975, Aqueous ammonia equilibrium calculations: effect of pH and temperature, J. Fish. Res. Board Can. 32:2379-2383.", "read"),
    "CleggWhitfield1995": Source("Clegg & Whitfield 1995, A chemical model of seawater including dissolved ammonia, Geochim. Cosmochim. Acta 59:2403-2421, eq. 18; constants as written in PyCO2SYS 1.8.", "library"),
    "FA16": Source("Francis-Floyd & Watson 1996, Ammonia, University of Florida IFAS Extension, Fact Sheet FA-16, Table 1 and Figures 2-3.", "read"),
    "EPA1999": Source("US EPA 1999, 1999 Update of Ambient Water Quality Criteria for Ammonia, EPA-822-R-99-014; equations 1-4 as adopted in South Dakota ARSD 74:51:01, Appendix A.", "read"),
    "EPA2013": Source("US EPA 2013, Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, EPA 822-R-13-001; equations read in open code that works out the criteria of Oregon (OAR 340-041-8033, tables 30(a) to 30(c)) and Virginia (9VAC25-260-155), which adopt them; values of the tables as that code's own tests print them.", "read"),
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


def name_source(key: str) -> str:
    """Name one source in a sentence: its authors and year, or else what its citation begins with.

    Examples
    --------
    >>> name_source("ZhuChen1999"), name_source("Bister2000"), name_source("FishBaseCarp")
    ('Zhu & Chen 1999', 'Bister and others 2000', 'FishBase')
    """
    citation = SOURCES[key].citation
    if dated := re.match(r"([^:(\d]{2,70}?) ((?:1[89]|20)\d\d)\b", citation):
        first, *others = dated[1].split(", ")
        return f"{first} and others {dated[2]}" if others else dated[0]
    return re.split(r"[,:;(]| '", citation)[0].strip().rstrip(".")
