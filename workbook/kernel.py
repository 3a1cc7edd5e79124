"""The address of the learner's kernel, as running servers and laid-out folders name it: kept for ever."""

from ipykernel.kernelapp import IPKernelApp

from workbook.server.learner_kernel import LearnerKernel

__all__ = ["LearnerKernel"]

if __name__ == "__main__":
    IPKernelApp.launch_instance(kernel_class=LearnerKernel)
