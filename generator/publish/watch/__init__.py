"""`watch`: the site on your own machine, built anew whenever a file is saved.

* stage      what is shown now: the files of the site and the problems, from memory
* server     shows the stage to browsers on this machine, and to nobody else
* changes    which files were saved
* follow     from a save to the stage, by way of the builder
* builder    the process that builds: the one that shows never waits for it
* whole      in it: the whole site, which is the truth
* quick      in it: the pages of bikes that were just saved, ahead of the whole
* running    all of it together, until it is ended

The folder `site/` stays what the last `build` wrote: what is watched lives in memory alone. The charts that
`build` keeps are shared with it.
"""
