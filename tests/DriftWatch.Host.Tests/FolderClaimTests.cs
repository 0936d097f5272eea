using System.Net.Sockets;
using DriftWatch.Host.Keeping;

namespace DriftWatch.Host.Tests;

/// <summary>Whether another service holds the data folder, told from a folder that cannot be written.</summary>
public sealed class FolderClaimTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_folder_is_held_by_one_until_it_is_let_go()
    {
        using (FolderClaim? first = FolderClaim.On(_folder.Path))
        {
            Assert.NotNull(first);
            Assert.Null(FolderClaim.On(_folder.Path));
        }

        using FolderClaim? next = FolderClaim.On(_folder.Path);
        Assert.NotNull(next);
    }

    /// <summary>A socket in its place: it is there, nobody holds it, and it cannot be opened (ENXIO).</summary>
    [Fact]
    public void What_cannot_be_opened_is_told_as_that()
    {
        string file = _folder.File("driftwatch.lock");
        using Socket socket = new(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        socket.Bind(new UnixDomainSocketEndPoint(file));
        IOException told = Assert.Throws<IOException>(() => FolderClaim.On(_folder.Path));
        Assert.StartsWith($"The data folder cannot be claimed, as its file '{file}' cannot be opened: ", told.Message, StringComparison.Ordinal);
    }
}
