// Package fluid gives the properties of the liquid in the tank: water with 0 to 60
// % of glycerin (glycerol) by weight.
//
// Density kg/m³, specific heat J/(kg K), dynamic viscosity mPa·s, conductivity
// W/(m K), freezing and boiling point °C, vapour pressure kPa. Valid from the
// freezing point to 100 °C (vapour from 0 °C); outside, ErrRange with the range in
// words. What a correlation is carried on to is said where it stands.
//
// To 40 °C the published polynomials of Melinder 2010 hold (coefficients.go).
// Above, they must not be continued (their viscosity is then 20-70 % low): density
// is Volk & Kähler 2018, viscosity Cheng 2008, specific heat and conductivity an
// estimate of ours with no literature behind it, about ±3 % and ±5 %. Where the
// two meet at 40 °C their small difference fades out up to 50 °C, so that nothing
// jumps. Water without glycerin has its own values, and the fit runs into them
// below 5 % of glycerin (it is off by up to 1.2 % there, in viscosity).
//
// Water's vapour is that of IAPWS-IF97 times the activity of Zhang, Grace & Sun
// 2022; the boiling point, at sea level or higher up, is found from it.
//
// Below 19.5 % the polynomials rest on no data of their own but run towards water.
// The package does not know other glycols, salts, impurities or crude glycerin.
package fluid
