"""Marking on other machines: strangers' notebooks run where there is no key, no record and no gradebook.

On dask.distributed, which is loaded where a cluster is asked for and nowhere else.
"""
