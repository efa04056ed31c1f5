// Package fitted keeps a greenhouse that was fitted to its own record: a small TOML file that
// a greenhouse file names (model.fitted). Its figures stand in place of that file's own in all
// that is reckoned and simulated: the plan's twin, from which the daemon goes on learning, the
// preview, seasons and tuning.
package fitted
